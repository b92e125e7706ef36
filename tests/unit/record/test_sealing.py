"""What a ledger adds when it takes entries in."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

from qa.record.job import fold
from qa.record.reading import Record
from qa.record.sealing import Arrival, PhotoFile, seal
from tests.examples import minimal
from tests.factories import RecordBuilder, photo_file, salts

PHOTO = PhotoFile(sha256="cd" * 32, bytes=2_000_000, media_type="image/jpeg")
NOON = datetime(2026, 5, 12, 13, 0, tzinfo=timezone(timedelta(hours=1)))


def body_of(record: Record, place: int) -> dict[str, Any]:
    body: dict[str, Any] = record.entries[place].written["body"]
    return body


def test_order_of_arrival_is_numbered_from_zero() -> None:
    record = RecordBuilder.equipped().sealed()
    assert [entry.seq for entry in record.entries] == list(range(9))
    assert record.is_sealed


def test_arrival_is_written_in_utc() -> None:
    builder = RecordBuilder.opened()
    arrival = Arrival(received_at=NOON, device="phone-2")
    record = seal(
        [(entry, arrival) for entry in builder.record().entries], photos={}, new_salt=salts()
    )
    assert record.entries[0].written["received_at"] == "2026-05-12T12:00:00+00:00"
    assert record.entries[0].received_at == NOON.astimezone(UTC)
    assert record.entries[0].device == "phone-2"


def test_unknown_device_is_left_out() -> None:
    record = RecordBuilder.opened().sealed()
    assert "device" not in record.entries[0].written
    assert record.entries[0].device is None


def test_what_the_writer_stated_stays_as_it_was() -> None:
    builder = RecordBuilder.opened()
    builder.add("note", at="2026-05-12T08:40+01:00", text="Wind drops.")
    sealed = builder.sealed().entries[1].written
    assert {name: sealed[name] for name in builder.entries[1]} == builder.entries[1]


def test_signature_of_a_device_stays() -> None:
    builder = RecordBuilder.opened()
    builder.add("note")
    builder.entries[1]["signature"] = {"key": "k1", "alg": "EdDSA", "value": "c2ln"}
    signature = builder.sealed().entries[1].signature
    assert signature is not None
    assert signature.key == "k1"


def test_given_entries_are_left_alone() -> None:
    builder = RecordBuilder.opened()
    builder.add("photo")
    entries = builder.record().entries
    before = [dict(entry.written) for entry in entries]
    builder.sealed()
    assert [dict(entry.written) for entry in entries] == before


def test_photo_takes_the_facts_of_its_file() -> None:
    builder = RecordBuilder.opened()
    builder.add("photo", file="photos/a.jpg")
    record = builder.sealed(photos={"photos/a.jpg": PHOTO})
    assert body_of(record, 1) == {
        "file": "photos/a.jpg",
        "stage": "laminate",
        "sha256": PHOTO.sha256,
        "bytes": 2_000_000,
        "media_type": "image/jpeg",
    }


def test_facts_of_the_file_overrule_the_writer() -> None:
    builder = RecordBuilder.opened()
    builder.add("photo", file="photos/a.jpg", sha256="ef" * 32)
    record = builder.sealed(photos={"photos/a.jpg": PHOTO})
    assert body_of(record, 1)["sha256"] == PHOTO.sha256


def test_corrected_photo_keeps_the_facts_of_its_file() -> None:
    builder = RecordBuilder.opened()
    photo = builder.add("photo", file="photos/a.jpg")
    new_body = minimal("photo") | {"file": "photos/a.jpg", "caption": "Eaves"}
    builder.add("correction", corrects=photo, body=new_body)
    (shown,) = fold(builder.sealed(photos={"photos/a.jpg": PHOTO})).photos
    assert shown.body.caption == "Eaves"
    assert shown.body.sha256 == PHOTO.sha256


def test_photo_without_a_file_is_a_key_error() -> None:
    builder = RecordBuilder.opened()
    builder.add("photo", file="photos/a.jpg")
    arrival = Arrival(received_at=NOON)
    with pytest.raises(KeyError, match=r"photos/a\.jpg"):
        seal([(e, arrival) for e in builder.record().entries], photos={}, new_salt=salts())


def test_same_arrivals_and_salts_give_the_same_record() -> None:
    assert RecordBuilder.equipped().sealed() == RecordBuilder.equipped().sealed()


def test_unsealed_record_has_no_chain() -> None:
    record = RecordBuilder.equipped().record()
    assert not record.is_sealed
    assert not Record(entries=()).is_sealed
    assert photo_file("photos/a.jpg") != photo_file("photos/b.jpg")
