"""Whether the entries of a record agree with each other."""

from __future__ import annotations

from typing import Any

import pytest

from qa.record.reading import read_record
from tests.examples import SOME_ID, minimal
from tests.factories import RecordBuilder
from tests.unit.record.refusals import problem_in, problems_in

NO_SUCH_ID = "0196b1c2-ffff-7000-8000-000000000001"


def equipped_with(kind: str, **fields: Any) -> RecordBuilder:
    builder = RecordBuilder.equipped()
    builder.add(kind, **fields)
    return builder


DANGLING: dict[str, tuple[dict[str, Any], str, str]] = {
    "mix_area": (
        {"kind": "mix", "area": "porch"},
        "mix.area",
        "mix.area “porch” is not an area of this job; known here: main.",
    ),
    "conditions_area": (
        {"kind": "conditions", "area": "porch"},
        "conditions.area",
        "conditions.area “porch” is not an area of this job; known here: main.",
    ),
    "usage_area": (
        {"kind": "usage", "area": "porch"},
        "usage.area",
        "usage.area “porch” is not an area of this job; known here: main.",
    ),
    "inspection_area": (
        {"kind": "inspection", "area": "porch"},
        "inspection.area",
        "inspection.area “porch” is not an area of this job; known here: main.",
    ),
    "annotation_photo": (
        {"kind": "annotation", "photo": NO_SUCH_ID},
        "annotation.photo",
        (
            f"annotation.photo {NO_SUCH_ID} is no photo of this record; "
            "mark one that this job shows."
        ),
    ),
    "annotation_of_no_photo": (
        {"kind": "annotation", "photo": SOME_ID},
        "annotation.photo",
        f"annotation.photo {SOME_ID} is no photo of this record; mark one that this job shows.",
    ),
    "measurement_edge": (
        {"kind": "measurement", "area": "main", "edge": "north"},
        "measurement.edge",
        (
            "measurement.edge “north” is not an edge of the area; "
            "known here: eaves, left, right, wall."
        ),
    ),
    "photo_edge_without_area": (
        {"kind": "photo", "edge": "north"},
        "photo.edge",
        "photo.edge “north” is not an edge of the area; known here: eaves, left, right, wall.",
    ),
    "person": (
        {"kind": "note", "by": "bob"},
        "by",
        "by “bob” is not of the crew; known here: ines, mara.",
    ),
    "usage_lot": (
        {"kind": "usage", "lot": "resin-9"},
        "usage.lot",
        (
            "usage.lot “resin-9” is not a registered lot; "
            "known here: catalyst-1, mat-1, resin-1, topcoat-1."
        ),
    ),
    "disposition_number": (
        {"kind": "disposition", "nonconformity": 7},
        "disposition.nonconformity",
        "disposition.nonconformity “7” was never raised; nothing of that kind is registered.",
    ),
    "closure_number": (
        {"kind": "closure", "nonconformity": 7},
        "closure.nonconformity",
        "closure.nonconformity “7” was never raised; nothing of that kind is registered.",
    ),
    "photo_number": (
        {"kind": "photo", "nonconformity": 7},
        "photo.nonconformity",
        "photo.nonconformity “7” was never raised; nothing of that kind is registered.",
    ),
    "replaces": (
        {"kind": "measurement", "replaces": [NO_SUCH_ID]},
        "measurement.replaces",
        f"measurement.replaces names {NO_SUCH_ID}, which is no entry of this record.",
    ),
    "erased_entry": (
        {"kind": "erasure", "disclosures": [{"entry": NO_SUCH_ID, "field": "/client/name"}]},
        "erasure.disclosures",
        f"erasure.disclosures names {NO_SUCH_ID}, which is no entry of this record.",
    ),
}


@pytest.mark.parametrize("broken", DANGLING)
def test_reference_that_leads_nowhere_is_refused(broken: str) -> None:
    fields, name, sentence = DANGLING[broken]
    problem = problem_in(equipped_with(**fields).text())
    assert (problem.line, problem.field) == (10, name)
    assert problem.sentence == sentence


def test_closure_names_entries_of_the_record() -> None:
    builder = equipped_with("nonconformity")
    builder.add("closure", entries=[builder.id_of(0), NO_SUCH_ID])
    assert problem_in(builder.text()).field == "closure.entries"


def test_edge_belongs_to_the_named_area() -> None:
    builder = RecordBuilder.equipped()
    builder.add("area", area="porch", edges=[{"edge": "step", "kind": "drip_edge", "length_m": 2}])
    builder.add("measurement", area="porch", edge="step")
    builder.add("measurement", area="main", edge="step")
    assert problem_in(builder.text()).line == 12


def test_reference_may_come_before_its_registration() -> None:
    builder = RecordBuilder.opened()
    builder.add("mix")
    builder.add("area")
    assert len(builder.record().entries) == 3


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("mix", {"lot": "unknown", "catalyst_lot": "unknown"}),
        ("photo", {"lot": "unknown", "mix": "unknown"}),
        ("conditions", {"instruments": ["unknown"]}),
        ("measurement", {"instrument": "unknown"}),
    ],
)
def test_unregistered_lot_or_instrument_is_taken(kind: str, fields: dict[str, Any]) -> None:
    equipped_with(kind, **fields).record()


@pytest.mark.parametrize(
    ("kind", "field", "value", "line"),
    [
        ("area", "area", "main", 2),
        ("instrument", "instrument", "scale", 5),
        ("lot", "lot", "resin-1", 6),
    ],
)
def test_key_registered_twice_is_refused(kind: str, field: str, value: str, line: int) -> None:
    problem = problem_in(equipped_with(kind, **{field: value}).text())
    assert (problem.line, problem.field) == (10, kind)
    assert problem.sentence == (
        f"{kind} “{value}” was already registered in line {line}; use another key, or correct the "
        "first entry."
    )


@pytest.mark.parametrize(
    ("kind", "key"), [("mix", {"mix": "mix-1"}), ("nonconformity", {"number": 1})]
)
def test_mix_or_nonconformity_twice_is_refused(kind: str, key: dict[str, Any]) -> None:
    builder = equipped_with(kind, **key)
    builder.add(kind, **key)
    assert problem_in(builder.text()).line == 11


def test_kinds_do_not_share_their_keys() -> None:
    builder = equipped_with("lot", lot="main")
    builder.add("mix", mix="main")
    builder.record()


def test_withdrawn_entry_frees_its_key() -> None:
    builder = RecordBuilder.equipped()
    mistaken = builder.add("mix", mix="mix-1")
    builder.add("correction", corrects=mistaken)
    builder.add("mix", mix="mix-1")
    builder.record()


def test_correction_cannot_take_another_key() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix")
    second = builder.add("mix")
    builder.add("correction", corrects=second, body=minimal("mix") | {"mix": "mix-1"})
    problem = problem_in(builder.text())
    assert problem.line == 12
    assert problem.sentence.startswith("mix “mix-1” was already registered in line 10")


CORRECTIONS = {
    "unknown_entry": (
        {"corrects": NO_SUCH_ID, "body": None},
        "correction.corrects",
        "names no earlier entry; check the id.",
    ),
    "correction": (
        {"corrects": RecordBuilder().id_of(10), "body": None},
        "correction.corrects",
        "names a correction; name the entry that was corrected first.",
    ),
    "withdrawn_job": (
        {"corrects": RecordBuilder().id_of(0), "body": None},
        "correction.body",
        "would withdraw the job itself; correct its fields instead.",
    ),
    "body_of_another_kind": (
        {"corrects": RecordBuilder().id_of(9), "body": {"kg": 3}},
        "correction.body.kg",
        "is not a field of this kind; the fields are: text, stage, area.",
    ),
    "impossible_new_value": (
        {"corrects": RecordBuilder().id_of(5), "body": minimal("lot") | {"quantity": -1}},
        "correction.body.quantity",
        "is −1; a quantity is more than nothing.",
    ),
    "text_as_body": (
        {"corrects": RecordBuilder().id_of(9), "body": "withdrawn"},
        "correction.body",
        "must be the whole new body in curly brackets, or null to withdraw.",
    ),
}


@pytest.mark.parametrize("broken", CORRECTIONS)
def test_broken_correction_is_refused(broken: str) -> None:
    fields, path, words = CORRECTIONS[broken]
    builder = equipped_with("note")
    builder.add("correction", corrects=builder.id_of(9))
    builder.add("correction", **fields)
    problem = problems_in(builder.text())[0]
    assert (problem.line, problem.field) == (12, path)
    assert problem.sentence == f"{path} {words}"


def test_correction_of_a_later_entry_is_refused() -> None:
    builder = RecordBuilder.opened()
    builder.add("correction", corrects=builder.id_of(2))
    builder.add("note")
    assert problem_in(builder.text()).field == "correction.corrects"


def test_new_body_is_held_to_the_references_too() -> None:
    builder = RecordBuilder.equipped()
    mix = builder.add("mix")
    builder.add("correction", corrects=mix, body=minimal("mix") | {"area": "porch"})
    problem = problem_in(builder.text())
    assert (problem.line, problem.field) == (11, "correction.area")


def test_person_named_by_a_corrected_crew_is_known() -> None:
    builder = RecordBuilder.opened()
    job = minimal("job")
    job["crew"].append({"person": "bob", "name": "Bob Invented", "role": "installer"})
    builder.add("correction", corrects=builder.id_of(0), body=job)
    builder.add("note", by="bob")
    builder.record()


def test_area_that_work_names_cannot_be_withdrawn() -> None:
    builder = equipped_with("mix")
    builder.add("correction", corrects=builder.id_of(1))
    problem = problem_in(builder.text())
    assert (problem.line, problem.field) == (10, "mix.area")


def test_area_that_work_names_cannot_be_renamed() -> None:
    builder = equipped_with("mix")
    builder.add("correction", corrects=builder.id_of(1), body=minimal("area") | {"area": "roof"})
    assert "known here: roof." in problem_in(builder.text()).sentence


def test_nonconformity_under_decision_cannot_be_withdrawn() -> None:
    builder = equipped_with("nonconformity")
    builder.add("disposition")
    builder.add("correction", corrects=builder.id_of(9))
    assert problem_in(builder.text()).field == "disposition.nonconformity"


def test_area_can_be_renamed_with_the_work_in_it() -> None:
    builder = equipped_with("mix")
    builder.add("correction", corrects=builder.id_of(1), body=minimal("area") | {"area": "roof"})
    builder.add("correction", corrects=builder.id_of(9), body=minimal("mix") | {"area": "roof"})
    assert builder.job().mixes[0].body.area == "roof"


def test_correction_mends_a_dangling_reference() -> None:
    builder = equipped_with("mix", area="porch")
    builder.add("correction", corrects=builder.id_of(9), body=minimal("mix"))
    assert builder.job().mixes[0].body.area == "main"


def test_every_dangling_reference_is_told_in_order() -> None:
    builder = equipped_with("mix", area="porch", by="bob")
    builder.add("closure", nonconformity=3, entries=[NO_SUCH_ID])
    builder.add("lot", lot="resin-1")
    told = [(problem.line, problem.field) for problem in problems_in(builder.text())]
    assert told == [
        (10, "by"),
        (10, "mix.area"),
        (11, "closure.nonconformity"),
        (11, "closure.entries"),
        (12, "lot"),
    ]


def test_good_record_of_every_kind_is_taken() -> None:
    builder = RecordBuilder.equipped()
    builder.add("photo")
    for kind in ("annotation", "conditions", "measurement", "observation", "mix", "usage"):
        builder.add(kind)
    for kind in (
        "examination",
        "interruption",
        "sign_off",
        "nonconformity",
        "disposition",
        "closure",
    ):
        builder.add(kind)
    for kind in ("erasure", "note", "handover", "inspection"):
        builder.add(kind)
    builder.add("correction", corrects=builder.id_of(9))
    assert len({entry.kind for entry in read_record(builder.text()).entries}) == 22
