"""The envelope of an entry: id, kind, at, by, body, and what a ledger adds."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from qa.record.entry import read_entry
from qa.record.fields import Fault
from qa.record.reading import read_record
from tests.factories import RecordBuilder, Written, jsonl
from tests.unit.record.refusals import problem_in

SEALED_FIELDS = {
    "seq": 0,
    "received_at": "2026-05-12T06:01:00+00:00",
    "prev": "0" * 64,
    "hash": "a" * 64,
}


def note(**changes: Any) -> Written:
    """A good entry; `...` leaves a field out."""
    builder = RecordBuilder()
    builder.add("note")
    fields = builder.entries[0] | changes
    return {name: value for name, value in fields.items() if value is not ...}


def faults_of(entry: Written) -> list[tuple[str, str]]:
    with pytest.raises(Fault) as refused:
        read_entry(entry, kinds={})
    return refused.value.faults


def fault_of(entry: Written) -> tuple[str, str]:
    (fault,) = faults_of(entry)
    return fault


def test_example_of_the_format_is_taken() -> None:
    entry = read_entry(
        {
            "id": "0196b1c2-5a3e-7c10-8f00-5d2f6a1b9c3d",
            "kind": "conditions",
            "at": "2026-05-12T08:40:00+01:00",
            "by": "ines",
            "body": {
                "stage": "laminate",
                "area": "main",
                "air_c": 14.5,
                "humidity_pct": 62,
                "deck_c": 13.0,
            },
        },
        kinds={},
    )
    assert entry.at.astimezone(UTC) == datetime(2026, 5, 12, 7, 40, tzinfo=UTC)
    assert entry.by == "ines"
    assert not entry.is_sealed


@pytest.mark.parametrize("field", ["id", "kind", "at", "by", "body"])
def test_missing_envelope_field_is_refused(field: str) -> None:
    assert fault_of(note(**{field: ...})) == (field, "is missing; every entry has one")


@pytest.mark.parametrize("field", ["id", "kind", "at", "by"])
@pytest.mark.parametrize("value", [None, 3, True, "", [], {}])
def test_envelope_field_of_another_type_is_refused(field: str, value: Any) -> None:
    path, sentence = fault_of(note(**{field: value}))
    assert path == field
    assert "; " in sentence


def test_unknown_envelope_field_is_refused() -> None:
    path, sentence = fault_of(note(author="ines"))
    assert path == "author"
    assert sentence.startswith("is not a field of an entry; the fields are: id, kind, at, by, body")


@pytest.mark.parametrize(
    ("identifier", "words"),
    [
        ("0196B1C2-5A3E-7C10-8F00-5D2F6A1B9C3D", "write the UUID in lower case"),
        ("0196b1c25a3e7c108f005d2f6a1b9c3d", "it must be a UUID"),
        ("{0196b1c2-5a3e-7c10-8f00-5d2f6a1b9c3d}", "it must be a UUID"),
        ("0196b1c2-5a3e-7c10-8f00-5d2f6a1b9c3d\n", "it must be a UUID"),
        ("1", "it must be a UUID"),
    ],
)
def test_id_that_is_no_canonical_uuid_is_refused(identifier: str, words: str) -> None:
    assert words in fault_of(note(id=identifier))[1]


@pytest.mark.parametrize(
    "moment",
    [
        "2026-05-12T08:40:00+01:00",
        "2026-05-12T08:40+01:00",
        "2026-05-12T07:40:00Z",
        "2026-05-12T07:40:00.25Z",
        "20260512T084000+0100",
        "2026-W20-2T08:40:00+01:00",
        "2026-05-11T23:40:00-08:00",
    ],
)
def test_iso_8601_with_an_offset_is_taken(moment: str) -> None:
    at = read_entry(note(at=moment), kinds={}).at
    assert at.date() == datetime.fromisoformat(moment).date()
    assert at.utcoffset() is not None


def test_time_without_an_offset_is_refused() -> None:
    path, sentence = fault_of(note(at="2026-05-12T08:40:00"))
    assert path == "at"
    assert sentence == (
        "is “2026-05-12T08:40:00”, a time without an offset, so nobody can tell when that was; add "
        "the offset, such as +01:00 for British Summer Time"
    )


@pytest.mark.parametrize(
    "moment",
    [
        "2026-05-12",
        "08:40",
        "12/05/2026 08:40",
        "2026-02-30T08:40:00+01:00",
        "2026-05-12T24:40:00+01:00",
        "2026-05-12 08:40:00+01:00",
        "2026-05-12\ud80008:40:00+01:00",
        "2026-05-12T08:40:00+25:00",
        "٢026-05-12T08:40:00+01:00",
    ],
)
def test_what_is_no_time_is_refused(moment: str) -> None:
    assert "which is no time" in fault_of(note(at=moment))[1]


@pytest.mark.parametrize("year", ["0001", "1969", "2201", "9999"])
def test_year_outside_every_record_is_refused(year: str) -> None:
    assert "check the year" in fault_of(note(at=f"{year}-06-01T08:40:00+14:00"))[1]


@pytest.mark.parametrize(
    ("word", "meant"),
    [("mixx", "mix"), ("Conditions", "conditions"), ("sign-off", "sign_off"), ("photos", "photo")],
)
def test_unknown_kind_brings_a_suggestion(word: str, meant: str) -> None:
    assert fault_of(note(kind=word)) == (
        "kind",
        f"is “{word}”, which is no kind of entry; did you mean {meant}?",
    )


def test_kind_like_no_other_brings_the_list() -> None:
    sentence = fault_of(note(kind="zzz"))[1]
    assert "the kinds are: job, area, instrument, lot, " in sentence


def test_what_a_ledger_adds_is_taken() -> None:
    entry = read_entry(note(**SEALED_FIELDS, device="phone-2"), kinds={})
    assert entry.is_sealed
    assert (entry.seq, entry.prev, entry.hash) == (0, "0" * 64, "a" * 64)
    assert entry.received_at == datetime(2026, 5, 12, 6, 1, tzinfo=UTC)
    assert entry.device == "phone-2"


@pytest.mark.parametrize("field", SEALED_FIELDS)
def test_what_a_ledger_adds_stands_together(field: str) -> None:
    part = {name: value for name, value in SEALED_FIELDS.items() if name != field}
    _, sentence = fault_of(note(**part))
    assert sentence == f"is here without {field}; what a ledger adds stands together"


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("seq", -1, "entries are numbered from 0"),
        ("seq", 0.5, "a whole number"),
        ("seq", 2**53, "entries are numbered from 0"),
        ("seq", "0", "a whole number"),
        ("received_at", "2026-05-12T07:01:00+01:00", "the server's clock is written in UTC"),
        ("received_at", "2026-05-12T06:01:00", "a time without an offset"),
        ("prev", "0" * 63, "a SHA-256 of 64 lower-case hex digits"),
        ("hash", "A" * 64, "a SHA-256 of 64 lower-case hex digits"),
        ("device", 7, "it must be text in quotes"),
    ],
)
def test_ledger_field_out_of_range_is_refused(field: str, value: Any, words: str) -> None:
    path, sentence = fault_of(note(**SEALED_FIELDS | {field: value}))
    assert path == field
    assert words in sentence


@pytest.mark.parametrize("alg", ["ES256", "EdDSA"])
def test_signature_of_a_device_is_kept(alg: str) -> None:
    entry = read_entry(note(signature={"key": "k1", "alg": alg, "value": "c2ln"}), kinds={})
    assert entry.signature is not None
    assert entry.signature.alg == alg


@pytest.mark.parametrize(
    ("signature", "path"),
    [
        ({"key": "k1", "alg": "RS256", "value": "c2ln"}, "signature.alg"),
        ({"key": "k1", "alg": "ES256"}, "signature.value"),
        ({"key": "k1", "alg": "ES256", "value": "c2ln", "at": 1}, "signature.at"),
        ("c2ln", "signature"),
    ],
)
def test_malformed_signature_is_refused(signature: Any, path: str) -> None:
    assert fault_of(note(signature=signature))[0] == path


def test_every_fault_of_an_envelope_is_told() -> None:
    broken = note(id="1", at="today", by=3, kind="mixx", author="ines")
    assert {path for path, _ in faults_of(broken)} == {"id", "at", "by", "kind", "author"}


def test_entry_sent_twice_counts_once() -> None:
    builder = RecordBuilder.opened()
    builder.add("note")
    again = builder.entries[1]
    twice = jsonl([*builder.entries, dict(reversed(again.items())), again])
    assert read_record(twice) == builder.record()


def test_id_with_another_content_is_refused() -> None:
    builder = RecordBuilder.opened()
    builder.add("note")
    other = builder.entries[1] | {"body": {"text": "Something else."}}
    problem = problem_in(jsonl([*builder.entries, other]))
    assert (problem.line, problem.field) == (3, "id")
    assert problem.sentence == (
        "id is that of line 2, which has another content; give a new entry a new id."
    )


def test_id_with_another_time_is_refused() -> None:
    builder = RecordBuilder.opened()
    later = builder.clock + timedelta(hours=1)
    other = builder.entries[0] | {"at": later.isoformat()}
    assert problem_in(jsonl([builder.entries[0], other])).line == 2


def test_first_entry_must_be_the_job() -> None:
    builder = RecordBuilder.opened()
    builder.add("note")
    builder.entries.reverse()
    problem = problem_in(builder.text())
    assert problem.line == 1
    assert problem.sentence == ("the first entry is of kind note; a record opens with kind job.")


def test_second_job_entry_is_refused() -> None:
    builder = RecordBuilder.opened()
    builder.add("job", job="J-2026-015")
    problem = problem_in(builder.text())
    assert (problem.line, problem.field) == (2, "kind")
    assert problem.sentence.startswith("opens a job a second time; one record holds one job.")
