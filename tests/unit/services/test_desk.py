"""What the desk lists, searches and traces: made at once, the firm's own, and gone when erased."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.errors import NotAllowedError, NotFoundError
from qa.services import desk
from qa.services.access import Actor, Role
from qa.services.delivery import work_all
from qa.services.erasing import erase
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.services.reading import read_job
from qa.services.rebuilding import rebuild
from qa.services.searching import search
from qa.services.tracing import batches, trace_batch
from qa.store import papers
from qa.store.tables import PackRow
from qa.trade.vocabulary import Stage
from tests.house import NOON, House, add_person
from tests.roof_job import RoofJob


@pytest.fixture
def ona(house: House) -> Actor:
    return add_person(house.installation, "firm-1", "ona", Role.OFFICE)


CREW = [
    {"person": "ines", "name": "Ines Invented", "role": "installer"},
    {"person": "omar", "name": "Omar Invented", "role": "supervisor"},
    {"person": "ona", "name": "Ona Invented", "role": "office"},
]


def complete(job: RoofJob) -> None:
    """Every stage signed off, and released where it must be."""
    for stage in Stage:
        job.add("sign_off", stage=stage.value, decision="complete", statement="Done.")
        job.add(
            "sign_off", by=job.house.omar, stage=stage.value, decision="released", statement="Yes."
        )


def make_handover(job: RoofJob, actor: Actor) -> None:
    """A handover pack of the record as it is, without the time that setting its pages takes."""
    installation = job.house.installation
    read = read_job(installation, actor, job.id)
    number = ask_for_pack(installation, actor, job.id, PackKind.HANDOVER, now=NOON)
    with installation.store.writing() as session:
        (row,) = session.query(PackRow).filter_by(job_id=job.id, number=number)
        edition = papers.PackEdition(
            program="test", entries=len(read.record.entries), head=read.job.head
        )
        papers.begin_pack(session, row.id, edition)
        papers.finish_pack(session, row.id, sha256="0" * 64, length=1, now=NOON)


def test_oldest_sign_off_waits_first(house: House) -> None:
    later = RoofJob.equipped(house, job="J-1")
    earlier = RoofJob.equipped(house, job="J-2")
    later.clock += timedelta(hours=1)
    later.add("sign_off", stage="deck", decision="complete", statement="Done.")
    earlier.add("sign_off", stage="deck", decision="complete", statement="Done.")
    found = desk.releases(house.installation, house.omar)
    assert [one.job.reference for one in found] == ["J-2", "J-1"]


def test_finding_is_listed_with_its_job_and_entry(house: House) -> None:
    job = RoofJob.equipped(house)
    entry = job.add("conditions", stage="laminate", deck_c=2).entry
    found = desk.findings(house.installation, house.omar, late=False)
    assert {(one.check, one.entry_id) for one in found if one.check.endswith("temperature")} == {
        ("conditions.deck_temperature", entry)
    }


def test_late_entry_is_listed_apart(house: House) -> None:
    job = RoofJob.equipped(house)
    draft = job.draft("conditions", stage="laminate")
    job.clock += timedelta(hours=20)
    job.send([draft])
    job.add("sign_off", stage="laminate", decision="complete", statement="Done.")
    late = desk.findings(house.installation, house.omar, late=True)
    assert [one.entry_id for one in late] == [draft.id]
    others = desk.findings(house.installation, house.omar, late=False)
    assert draft.id not in {one.entry_id for one in others if one.check == "record.timely"}


def test_complete_job_is_due_until_a_pack_tells_everything(house: House, ona: Actor) -> None:
    job = RoofJob.equipped(house, crew=CREW)
    assert desk.packs_due(house.installation, house.omar) == ()
    complete(job)
    assert [one.job.id for one in desk.packs_due(house.installation, house.omar)] == [job.id]
    make_handover(job, ona)
    assert desk.packs_due(house.installation, house.omar) == ()
    job.add("handover", by=ona)
    assert desk.packs_due(house.installation, house.omar) == ()
    job.add("note", text="One more thing.")
    assert [one.job.id for one in desk.packs_due(house.installation, house.omar)] == [job.id]
    assert rebuild(house.installation).changed == ()


def test_batch_leads_to_mix_area_and_bays(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("mix", lot="resin-1", catalyst_lot="catalyst-1", bays=["r1b1", "r1b2"])
    (held,) = trace_batch(house.installation, house.omar, " c  88 ")
    assert held.job_id == job.id
    assert [(one.area, one.bays) for one in held.laid] == [("main", "r1b1 r1b2")]
    assert rebuild(house.installation).changed == ()


def test_pack_made_before_a_batch_came_does_not_tell_of_it(house: House, ona: Actor) -> None:
    job = RoofJob.equipped(house)
    make_handover(job, ona)
    job.add("lot", lot="resin-2", batch_number="L 2")
    assert trace_batch(house.installation, house.omar, "L 2")[0].packs == ()
    assert len(trace_batch(house.installation, house.omar, "C 88")[0].packs) == 1


@pytest.mark.parametrize("text", ["garage", "GAR roo", "j 2026", "ines", "Inv Omar"])
def test_job_is_found_by_beginnings_of_its_words(house: House, text: str) -> None:
    job = RoofJob.started(house)
    assert [one.id for one in search(house.installation, house.omar, text).jobs] == [job.id]


@pytest.mark.parametrize(
    "text", ["", "%", "_", "'; --", "garages", "\x00", "\U0010ffff", "a" * 999]
)
def test_what_holds_no_such_word_is_not_found(house: House, text: str) -> None:
    RoofJob.started(house)
    assert search(house.installation, house.omar, text).jobs == ()


def test_search_finds_batches_checks_and_people(house: House) -> None:
    RoofJob.equipped(house)
    assert [one.batch_number for one in search(house.installation, house.omar, "c 8").batches] == [
        "C 88"
    ]
    checks = search(house.installation, house.omar, "moist").checks
    assert "deck.moisture" in {check.key for check in checks}
    assert [one.key for one in search(house.installation, house.omar, "ome").people] == []
    assert [one.key for one in search(house.installation, house.omar, "oma").people] == ["omar"]


def test_erased_address_is_found_no_more(house: House, ona: Actor) -> None:
    job = RoofJob.started(house, site={"address": "17 Quillonbury Rise"}, crew=CREW)
    assert search(house.installation, house.omar, "quillon").jobs
    first = read_job(house.installation, house.ines, job.id).record.entries[0].id
    erase(
        house.installation, ona, job.id, disclosures=((first, "/site/address"),), photos=(),
        reason="Asked for.", entry_id=house.installation.new_id(), now=job.clock,
    )  # fmt: skip
    work_all(house.installation, now=job.clock)
    assert search(house.installation, house.omar, "quillon").jobs == ()
    assert rebuild(house.installation).changed == ()


def test_nothing_crosses_to_another_firm(house: House) -> None:
    job = RoofJob.equipped(house)
    job.add("conditions", stage="laminate", deck_c=2)
    job.add("sign_off", stage="deck", decision="complete", statement="Done.")
    installation, rival = house.installation, house.rival
    everything = desk.needs(installation, rival)
    assert everything == desk.Needs(releases=(), messages=(), outside=(), late=(), packs_due=())
    assert batches(installation, rival) == ()
    assert search(installation, rival, "garage").jobs == ()
    assert search(installation, rival, "c 88").batches == ()
    with pytest.raises(NotFoundError):
        trace_batch(installation, rival, "C 88")


def test_installer_is_refused(house: House) -> None:
    with pytest.raises(NotAllowedError):
        desk.needs(house.installation, house.ines)
    with pytest.raises(NotAllowedError):
        search(house.installation, house.ines, "garage")
    with pytest.raises(NotAllowedError):
        batches(house.installation, house.ines)
