"""Written and read back is the same, for every body and every whole record; nothing else passes."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from qa.errors import RecordError
from qa.record.folder import read_folder, record_text, write_folder
from qa.record.job import fold
from qa.record.reading import Record, read_record
from qa.record.registry import BODIES, BODY_READERS, KIND_OF, Kind
from qa.record.schema import written as as_json
from tests.examples import KINDS, full, minimal
from tests.factories import RecordBuilder, canonical_jsonl
from tests.strategies import bodies, records

FEW = settings(max_examples=settings().max_examples * 3 // 20)
SOME = settings(max_examples=settings().max_examples * 2 // 5)
"""Whole records are long to draw; the share of a profile's examples that is enough for them."""


def personal_text(record: Record) -> str:
    return canonical_jsonl([as_json(disclosure) for disclosure in record.disclosures])


def read_back(record: Record) -> Record:
    return read_record(record_text(record.entries), personal_text(record))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("example", [minimal, full])
def test_written_example_reads_back_the_same(kind: str, example: Any) -> None:
    assert as_json(BODY_READERS[Kind(kind)](example(kind))) == example(kind)


@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data())
@FEW
def test_written_body_reads_back_the_same(kind: str, data: st.DataObject) -> None:
    read = BODY_READERS[Kind(kind)]
    body = read(data.draw(bodies(kind)))
    assert read(as_json(body)) == body


@given(records())
@SOME
def test_unsealed_record_reads_back_the_same(builder: RecordBuilder) -> None:
    record = builder.record()
    assert [entry.id for entry in record.entries] == [entry["id"] for entry in builder.entries]
    assert read_back(record) == record


@given(records())
@SOME
def test_sealed_record_reads_back_the_same(builder: RecordBuilder) -> None:
    record = builder.sealed()
    assert read_back(record) == record


@given(records())
@SOME
def test_canonical_text_is_written_again_byte_for_byte(builder: RecordBuilder) -> None:
    plain = canonical_jsonl(builder.entries)
    assert record_text(read_record(plain).entries) == plain
    sealed = builder.sealed()
    text, personal = record_text(sealed.entries), personal_text(sealed)
    again = read_record(text, personal)
    assert (record_text(again.entries), personal_text(again)) == (text, personal)


@given(records())
@FEW
def test_folder_reads_back_what_was_written(builder: RecordBuilder) -> None:
    with tempfile.TemporaryDirectory() as place:
        for name, record in (("plain", builder.record()), ("sealed", builder.sealed())):
            originals = builder.write(Path(place) / f"{name}-originals-of")
            write_folder(record, read_folder(originals).photos, Path(place) / name)
            assert read_folder(Path(place) / name).record == record


@given(records())
@SOME
def test_sealing_keeps_what_every_entry_says(builder: RecordBuilder) -> None:
    plain, sealed = builder.job(), fold(builder.sealed())
    assert sealed.opening.body == plain.opening.body
    assert [w.id for w in sealed.withdrawn] == [w.id for w in plain.withdrawn]
    for name in ("areas", "lots", "mixes", "notes", "conditions", "examinations", "closures"):
        assert [r.body for r in getattr(sealed, name)] == [r.body for r in getattr(plain, name)]


@given(records())
@SOME
def test_erasing_all_personal_values_keeps_the_chain(builder: RecordBuilder) -> None:
    sealed = builder.sealed()
    left = read_record(record_text(sealed.entries))
    assert [entry.hash for entry in left.entries] == [entry.hash for entry in sealed.entries]


@given(records(), st.data())
@SOME
def test_no_sign_of_a_sealed_record_can_change(builder: RecordBuilder, data: st.DataObject) -> None:
    sealed = builder.sealed()
    text = record_text(sealed.entries)
    place = data.draw(st.integers(0, len(text) - 1))
    sign = data.draw(st.sampled_from('09af"{}[],:\\ -\n') | st.characters())
    changed = text[:place] + sign + text[place + 1 :]
    if changed == text:
        return
    try:
        read = read_record(changed, personal_text(sealed))
    except RecordError:
        return
    assert read == sealed


@given(records(), st.data())
@SOME
def test_changed_text_is_read_or_refused_in_sentences(
    builder: RecordBuilder, data: st.DataObject
) -> None:
    text = builder.text()
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(text) - 1))
        scrap = data.draw(st.sampled_from(SCRAPS) | st.text(st.characters(), max_size=3))
        text = text[:place] + scrap + text[place + data.draw(st.integers(0, 3)) :]
    try:
        record = read_record(text)
    except RecordError as error:
        str(error).encode("utf-8")
    else:
        assert fold(record).head == fold(read_back(record)).head


SCRAPS = ("\\ud800", "1e999", "-0", "null", "[[[[", "{}", "NaN", '"', "9" * 30, "\n", "\x00", "[]")


def test_every_kind_has_one_class() -> None:
    assert {KIND_OF[cls]: cls for cls in BODIES.values()} == dict(BODIES)
