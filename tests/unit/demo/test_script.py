"""What the demonstration holds, and that it is invented."""

from __future__ import annotations

import json

import pytest

from qa.assess.fitting import require_fitting
from qa.assess.frame import frame_of
from qa.demo.opening import ROOFS
from qa.demo.script import demo_script
from qa.record.folder import disclosure_text, record_text
from qa.record.kinds.readings import Cause
from qa.record.reading import read_record
from qa.specification.loader import built_in
from qa.trade.vocabulary import WET_STAGES, EdgeKind, Material
from tests.unit.demo import told_job

SPECIFICATION = built_in("general-grp/1")


def test_roof_has_two_areas_of_different_shape() -> None:
    main, porch = (area.body for area in told_job.job().areas)
    assert (len(main.outline_m), len(porch.outline_m)) == (6, 4)
    assert 25 <= main.roof.net_area_m2 <= 30
    assert 5 <= porch.roof.net_area_m2 <= 8


def test_every_kind_of_edge_is_there() -> None:
    assert {edge.kind for roof in ROOFS for edge in roof.edges} == set(EdgeKind)


@pytest.mark.parametrize("roof", ROOFS, ids=lambda roof: roof.area)
def test_edges_agree_with_the_outline(roof) -> None:
    lengths = roof.roof.outline.edge_lengths_m
    assert [edge.length_m for edge in roof.edges] == pytest.approx(lengths)


def test_wet_work_takes_days() -> None:
    days = {stage: set() for stage in WET_STAGES}
    for mix in told_job.job().mixes:
        days[mix.body.stage].add(mix.at.date())
    assert [len(days[stage]) for stage in WET_STAGES] == [1, 2, 1]
    assert len(set().union(*days.values())) == 3


def test_mixes_and_pictures_are_many() -> None:
    assert len(told_job.job().mixes) == 20
    assert len(told_job.job().photos) >= 60
    assert all(photo.body.caption for photo in told_job.job().photos)


def test_every_material_comes_in_a_lot() -> None:
    lots = [lot.body for lot in told_job.job().lots]
    assert {lot.material for lot in lots} == set(Material)
    assert len({lot.batch_number for lot in lots}) == len(lots) == 9


def test_rain_interrupts_the_laminate_once() -> None:
    (rain,) = told_job.job().interruptions
    assert rain.body.cause is Cause.RAIN
    examined = {e.body.bay for e in told_job.job().examinations if e.at > rain.body.until}
    assert set(rain.body.bays) <= examined


def test_every_bay_of_the_plan_is_examined() -> None:
    frame = frame_of(told_job.job(), SPECIFICATION)
    for key, area in frame.areas.items():
        assert {e.body.bay for e in frame.examinations.at(key)} == set(area.bays)


def test_one_entry_is_corrected_and_one_withdrawn() -> None:
    job = told_job.job()
    (mistyped,) = [mix for mix in job.mixes if mix.corrections]
    assert (mistyped.entry.body.kg, mistyped.body.kg) == (42, 4.2)
    (withdrawn,) = job.withdrawn
    assert (withdrawn.body.area, withdrawn.body.bay) == ("porch", "r2b2")
    assert len(job.corrections) == 2


def test_record_reads_back_with_its_chain() -> None:
    kept = told_job.record()
    again = read_record(record_text(kept.entries), disclosure_text(kept.disclosures))
    assert again == kept
    assert again.is_sealed


def test_telling_it_twice_gives_the_same_bytes() -> None:
    again = told_job.sealed(demo_script())
    assert record_text(again.entries) == record_text(told_job.record().entries)
    assert disclosure_text(again.disclosures) == disclosure_text(told_job.record().disclosures)


def test_specification_knows_every_check_named() -> None:
    require_fitting(told_job.job(), SPECIFICATION)


def test_everybody_and_everything_is_invented() -> None:
    opening = told_job.job().opening.body
    assert "(invented)" in opening.title
    assert "invented" in opening.firm.name
    assert "no such place" in opening.site.address
    said = json.dumps([entry.written for entry in told_job.record().entries])
    said += disclosure_text(told_job.record().disclosures)
    for phone in (opening.firm.phone, opening.client.phone):
        assert phone.startswith("01632 960"), "the range kept free for drama"
    for email in (opening.firm.email, opening.client.email):
        assert email.endswith(".example")
    assert "http" not in said


def test_personal_values_stand_apart_from_the_record() -> None:
    text = record_text(told_job.record().entries)
    opening = told_job.job().opening.body
    personal = [opening.client.name, opening.client.phone, opening.site.address]
    personal += [person.name for person in opening.crew]
    assert [value for value in personal if value in text] == []
