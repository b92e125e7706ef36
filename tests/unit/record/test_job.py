"""The fold: what a record says once all corrections are applied."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from qa.record.chain import link_hashes
from qa.record.job import Job, fold
from tests.examples import KINDS, minimal
from tests.factories import RecordBuilder

LISTS = {
    "area": "areas",
    "instrument": "instruments",
    "lot": "lots",
    "conditions": "conditions",
    "measurement": "measurements",
    "observation": "observations",
    "mix": "mixes",
    "usage": "usages",
    "examination": "examinations",
    "photo": "photos",
    "interruption": "interruptions",
    "sign_off": "sign_offs",
    "nonconformity": "nonconformities",
    "disposition": "dispositions",
    "closure": "closures",
    "erasure": "erasures",
    "note": "notes",
    "handover": "handovers",
    "inspection": "inspections",
    "annotation": "annotations",
}


def one_mix() -> tuple[RecordBuilder, str]:
    builder = RecordBuilder.equipped()
    return builder, builder.add("mix", kg=5)


def mix_of(kg: float) -> dict[str, object]:
    return minimal("mix") | {"kg": kg}


def test_opening_says_what_the_job_is() -> None:
    job = RecordBuilder.opened().job()
    assert job.reference == "J-2026-014"
    assert job.time_zone == ZoneInfo("Europe/London")
    assert list(job.crew) == ["ines", "mara"]
    assert job.opening.id == RecordBuilder().id_of(0)


@pytest.mark.parametrize("kind", LISTS)
def test_entry_stands_in_the_list_of_its_kind(kind: str) -> None:
    builder = RecordBuilder.equipped()
    if kind in ("disposition", "closure"):
        builder.add("nonconformity")
    if kind == "annotation":
        builder.add("photo")
    identifier = builder.add(kind, **({"area": "porch"} if kind == "area" else {}))
    last = getattr(builder.job(), LISTS[kind])[-1]
    assert last.id == identifier
    assert last.body == last.entry.body
    assert last.corrections == ()


def test_every_kind_has_a_list() -> None:
    assert {*LISTS, "job", "correction"} == set(KINDS)


def test_order_is_that_of_the_record() -> None:
    builder = RecordBuilder.equipped()
    late = builder.add("note", at="2026-05-12T15:00:00+01:00", text="Stated later.")
    early = builder.add("note", at="2026-05-12T08:00:00+01:00", text="Stated earlier.")
    notes = builder.job().notes
    assert [note.id for note in notes] == [late, early]
    assert [note.position for note in notes] == [9, 10]
    assert [entry.id for entry in builder.job().entries] == [
        builder.id_of(place) for place in range(11)
    ]


def test_correction_replaces_the_whole_body() -> None:
    builder, mix = one_mix()
    builder.entries[-1]["body"]["air_c"] = 15
    correction = builder.add("correction", corrects=mix, body=mix_of(4.5))
    (shown,) = builder.job().mixes
    assert shown.body.kg == 4.5
    assert shown.body.air_c is None
    assert shown.entry.body.kg == 5  # type: ignore[attr-defined]
    assert [entry.id for entry in shown.corrections] == [correction]


def test_correction_leaves_time_and_person_alone() -> None:
    builder, mix = one_mix()
    before = builder.job().mixes[0]
    builder.add("correction", corrects=mix, by="mara", body=mix_of(4.5))
    (shown,) = builder.job().mixes
    assert (shown.at, shown.by, shown.position) == (before.at, before.by, before.position)


def test_last_correction_wins() -> None:
    builder, mix = one_mix()
    first = builder.add("correction", corrects=mix, body=mix_of(4.5))
    second = builder.add("correction", corrects=mix, body=mix_of(4.8))
    (shown,) = builder.job().mixes
    assert shown.body.kg == 4.8
    assert [entry.id for entry in shown.corrections] == [first, second]


def test_withdrawn_entry_is_listed_apart() -> None:
    builder, mix = one_mix()
    builder.add("correction", corrects=mix, reason="Never mixed.")
    job = builder.job()
    assert job.mixes == ()
    (withdrawn,) = job.withdrawn
    assert withdrawn.id == mix
    assert withdrawn.body.kg == 5  # type: ignore[attr-defined]
    assert len(withdrawn.corrections) == 1


def test_withdrawal_can_be_taken_back() -> None:
    builder, mix = one_mix()
    builder.add("correction", corrects=mix)
    builder.add("correction", corrects=mix, body=mix_of(5))
    job = builder.job()
    assert job.withdrawn == ()
    assert [shown.id for shown in job.mixes] == [mix]


def test_corrections_stay_in_the_job_themselves() -> None:
    builder, mix = one_mix()
    correction = builder.add("correction", corrects=mix, body=mix_of(4.5))
    job = builder.job()
    assert [shown.id for shown in job.corrections] == [correction]
    assert len(job.entries) == 11


def test_job_itself_can_be_corrected() -> None:
    builder = RecordBuilder.opened()
    body = minimal("job") | {"job": "J-2026-015"}
    builder.add("correction", corrects=builder.id_of(0), body=body)
    assert builder.job().reference == "J-2026-015"
    assert builder.job().opening.entry.body.job == "J-2026-014"  # type: ignore[attr-defined]


def test_head_of_a_sealed_job_is_its_last_hash() -> None:
    record = RecordBuilder.equipped().sealed()
    assert fold(record).head == record.entries[-1].hash


def test_sealing_changes_nothing_that_the_job_says() -> None:
    builder, mix = one_mix()
    builder.add("correction", corrects=mix, body=mix_of(4.5))
    plain, sealed = builder.job(), fold(builder.sealed())
    assert sealed.opening.body == plain.opening.body
    assert [shown.body for shown in sealed.mixes] == [shown.body for shown in plain.mixes]
    assert sealed.head != plain.head


def test_head_without_a_chain_is_stable() -> None:
    assert one_mix()[0].job().head == one_mix()[0].job().head


CHANGES = {
    "title": ("job", "title", "Another roof"),
    "client": ("job", "client", {"name": "B. Client"}),
    "outline": ("area", "outline_m", [[0, 0], [6, 0], [6, 4.001], [0, 4]]),
    "weight": ("mix", "kg", 5.001),
    "bays": ("mix", "bays", ["r1b1"]),
}


@pytest.mark.parametrize("change", CHANGES)
def test_head_changes_with_any_content(change: str) -> None:
    kind, field, value = CHANGES[change]
    builder, _ = one_mix()
    before = builder.job().head
    next(e for e in builder.entries if e["kind"] == kind)["body"][field] = value
    assert builder.job().head != before


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("id", "0196b1c2-ffff-7000-8000-000000000001"),
        ("at", "2026-05-12T07:46:00+01:00"),
        ("by", "mara"),
        ("signature", {"key": "k1", "alg": "EdDSA", "value": "c2ln"}),
    ],
)
def test_head_changes_with_any_envelope(field: str, value: object) -> None:
    builder, _ = one_mix()
    before = builder.job().head
    builder.entries[-1][field] = value
    assert builder.job().head != before


def test_head_changes_with_the_order() -> None:
    builder = RecordBuilder.equipped()
    before = builder.job().head
    builder.entries[7], builder.entries[8] = builder.entries[8], builder.entries[7]
    assert builder.job().head != before


def test_head_grows_on_what_was_there() -> None:
    builder, _ = one_mix()
    before = link_hashes(builder.record().entries)
    builder.add("note")
    assert link_hashes(builder.record().entries)[:-1] == before


def test_job_cannot_be_changed() -> None:
    job: Job = RecordBuilder.equipped().job()
    with pytest.raises(AttributeError):
        job.head = "0"  # type: ignore[misc]
