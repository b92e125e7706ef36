"""The chain: reckoned here a second time from the format's words, and every way to break it.

The second reckoning knows only `hashlib` and `rfc8785`: SHA-256 over the canonical JSON of the
entry with `seq`, `received_at`, `device` and `prev`; `prev` of the first is 64 zeros.
"""

from __future__ import annotations

import copy
import hashlib
from collections.abc import Callable
from typing import Any

import pytest
import rfc8785

from qa.record.chain import GENESIS, chain_fault, entry_hash, head_of, link_hashes
from qa.record.folder import record_text
from qa.record.reading import Record, read_record
from qa.record.schema import written as as_json
from tests.factories import RecordBuilder, Written, canonical_jsonl
from tests.unit.record.refusals import problem_in


def reckoned(entry: Written) -> str:
    covered = {name: value for name, value in entry.items() if name != "hash"}
    return hashlib.sha256(rfc8785.dumps(covered)).hexdigest()


def sealed_record() -> Record:
    builder = RecordBuilder.opened()
    for text in ("Second.", "Third.", "Fourth.", "Fifth."):
        builder.add("note", text=text)
    return builder.sealed(device="phone-2")


SEALED = sealed_record()
PERSONAL = canonical_jsonl([as_json(disclosure) for disclosure in SEALED.disclosures])


def lines() -> list[Written]:
    return [copy.deepcopy(dict(entry.written)) for entry in SEALED.entries]


def test_hash_of_an_entry_written_out_by_hand() -> None:
    entry = {
        "kind": "note",
        "id": "0196b1c2-0000-7000-8000-000000000002",
        "body": {"text": "Wind drops."},
        "at": "2026-05-12T07:05:00+01:00",
        "by": "ines",
        "seq": 1,
        "received_at": "2026-05-12T06:06:00+00:00",
        "device": "phone-2",
        "prev": "0" * 64,
        "hash": "anything",
    }
    canonical = (
        '{"at":"2026-05-12T07:05:00+01:00","body":{"text":"Wind drops."},"by":"ines",'
        '"device":"phone-2","id":"0196b1c2-0000-7000-8000-000000000002","kind":"note",'
        '"prev":"0000000000000000000000000000000000000000000000000000000000000000",'
        '"received_at":"2026-05-12T06:06:00+00:00","seq":1}'
    )
    assert entry_hash(entry) == hashlib.sha256(canonical.encode()).hexdigest()


def test_every_link_is_as_the_format_says() -> None:
    prev = "0" * 64
    for seq, entry in enumerate(lines()):
        assert entry["seq"] == seq
        assert entry["prev"] == prev
        assert entry["hash"] == reckoned(entry)
        prev = entry["hash"]
    assert head_of(SEALED.entries) == prev
    assert link_hashes(SEALED.entries) == tuple(entry["hash"] for entry in lines())


def test_sealed_record_reads_back_whole() -> None:
    assert read_record(record_text(SEALED.entries), PERSONAL) == SEALED


def test_head_of_no_entries_is_64_zeros() -> None:
    assert head_of(()) == GENESIS == "0" * 64


def test_head_without_a_chain_is_what_it_would_be() -> None:
    builder = RecordBuilder.equipped()
    prev = "0" * 64
    for seq, entry in enumerate(builder.entries):
        prev = reckoned({**entry, "seq": seq, "prev": prev})
    assert head_of(builder.record().entries) == prev


def rehashed(entry: Written) -> Written:
    return entry | {"hash": reckoned(entry)}


def edit(name: str, value: Any) -> Callable[[list[Written]], None]:
    def tamper(entries: list[Written]) -> None:
        entries[2][name] = value

    return tamper


def edit_and_rehash(entries: list[Written]) -> None:
    entries[2]["body"]["text"] = "Nothing happened."
    entries[2] = rehashed(entries[2])


def edit_the_job(entries: list[Written]) -> None:
    entries[0]["body"]["title"] = "Another roof"


def edit_a_digest(entries: list[Written]) -> None:
    entries[0]["body"]["crew"][0]["role"] = "supervisor"


def edit_the_head(entries: list[Written]) -> None:
    entries[4]["body"]["text"] = "Last word."


def add_a_field(entries: list[Written]) -> None:
    entries[2]["body"]["area"] = None


def delete(entries: list[Written]) -> None:
    del entries[2]


def delete_and_renumber(entries: list[Written]) -> None:
    del entries[2]
    entries[2] = rehashed(entries[2] | {"seq": 2})


def insert(entries: list[Written]) -> None:
    forged = entries[2] | {
        "id": "0196b1c2-ffff-7000-8000-000000000001",
        "body": {"text": "Put in between."},
    }
    entries.insert(2, rehashed(forged))


def swap(entries: list[Written]) -> None:
    entries[2], entries[3] = entries[3], entries[2]


def leave_a_gap(entries: list[Written]) -> None:
    entries[2] = rehashed(entries[2] | {"seq": 7})


def cut_the_link(entries: list[Written]) -> None:
    entries[2] = rehashed(entries[2] | {"prev": "0" * 64})


def unseal_one(entries: list[Written]) -> None:
    for name in ("seq", "received_at", "prev", "hash", "device"):
        del entries[2][name]


TAMPERED: dict[str, tuple[Callable[[list[Written]], None], int, str]] = {
    "edited_text": (edit("body", {"text": "Nothing happened."}), 3, "its content was changed"),
    "edited_time": (edit("at", "2026-05-12T05:10:00+01:00"), 3, "its content was changed"),
    "edited_person": (edit("by", "mara"), 3, "its content was changed"),
    "edited_arrival": (edit("received_at", "2026-05-12T05:11:00Z"), 3, "its content was changed"),
    "edited_device": (edit("device", "phone-3"), 3, "its content was changed"),
    "removed_device": (edit("device", None), 3, "its content was changed"),
    "added_signature": (
        edit("signature", {"key": "k", "alg": "EdDSA", "value": "v"}),
        3,
        "its content was changed",
    ),
    "added_field": (add_a_field, 3, "its content was changed"),
    "edited_job": (edit_the_job, 1, "its content was changed"),
    "edited_role": (edit_a_digest, 1, "its content was changed"),
    "edited_last_entry": (edit_the_head, 5, "its content was changed"),
    "edited_and_hashed_again": (edit_and_rehash, 4, "an entry was changed, removed or put in"),
    "deleted": (delete, 3, "seq is 3 where 2 must stand; an entry is missing or out of order"),
    "deleted_and_renumbered": (delete_and_renumber, 3, "an entry was changed, removed or put in"),
    "inserted": (insert, 4, "seq is 2 where 3 must stand"),
    "swapped": (swap, 3, "seq is 3 where 2 must stand"),
    "gap_in_seq": (leave_a_gap, 3, "seq is 7 where 2 must stand"),
    "cut_link": (cut_the_link, 3, "prev is 0000"),
    "one_unsealed": (unseal_one, 3, "some entries carry seq, received_at, prev and hash"),
}


@pytest.mark.parametrize("tampering", TAMPERED)
def test_tampering_is_told_with_its_line(tampering: str) -> None:
    tamper, line, words = TAMPERED[tampering]
    entries = lines()
    tamper(entries)
    problem = problem_in(canonical_jsonl(entries), PERSONAL)
    assert problem.line == line
    assert words in problem.sentence
    assert "as it was exported" in problem.sentence


def test_genuine_twin_of_every_tampering_holds() -> None:
    assert read_record(canonical_jsonl(lines()), PERSONAL).entries == SEALED.entries


def test_missing_first_entry_is_told() -> None:
    problem = problem_in(canonical_jsonl(lines()[1:]))
    assert problem.sentence == "the first entry is of kind note; a record opens with kind job."


def test_cut_tail_is_not_seen_by_the_chain_alone() -> None:
    """Only somebody else who holds a later head can tell; that is what checkpoints are for."""
    shorter = read_record(canonical_jsonl(lines()[:-1]), PERSONAL)
    assert head_of(shorter.entries) == SEALED.entries[-1].prev != head_of(SEALED.entries)


def test_chain_made_anew_is_not_seen_by_the_chain_alone() -> None:
    """Whoever holds the whole record can hash it again; its head is another one then."""
    entries = lines()
    entries[2]["body"]["text"] = "Nothing happened."
    prev = "0" * 64
    for place, entry in enumerate(entries):
        entries[place] = rehashed(entry | {"prev": prev})
        prev = entries[place]["hash"]
    assert head_of(read_record(canonical_jsonl(entries), PERSONAL).entries) != head_of(
        SEALED.entries
    )


def test_only_the_first_break_is_told() -> None:
    entries = lines()
    del entries[1]
    edit_the_head(entries + entries[-1:])
    assert problem_in(canonical_jsonl(entries), PERSONAL).line == 2


def test_sound_entry_has_no_chain_fault() -> None:
    second = SEALED.entries[1]
    assert chain_fault(second, seq=1, prev=SEALED.entries[0].hash or "") is None
