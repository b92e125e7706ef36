"""Personal values: moved out under a salted digest, shown where disclosed, erased without harm."""

from __future__ import annotations

import copy
import hashlib
import json
from typing import Any

import pytest
import rfc8785

from qa.record.disclosure import Disclosure, disclose, entry_paths, personal_paths, withhold
from qa.record.fields import Fault
from qa.record.job import fold
from qa.record.kinds.parties import Opening
from qa.record.reading import Record, read_record
from qa.record.registry import BODY_READERS, Kind
from qa.record.schema import Withheld
from qa.record.schema import written as as_json
from tests.examples import full, minimal
from tests.factories import RecordBuilder, Written, canonical_jsonl, jsonl, salts
from tests.unit.record.refusals import problem_in

EVERY_PERSONAL_FIELD = {
    "/client/name",
    "/client/email",
    "/client/phone",
    "/site/address",
    "/site/latitude_deg",
    "/site/longitude_deg",
    "/crew/0/name",
    "/crew/1/name",
}


def sealed_job() -> Record:
    builder = RecordBuilder.opened(**full("job"))
    builder.add("note")
    return builder.sealed()


SEALED = sealed_job()
TEXT = canonical_jsonl([dict(entry.written) for entry in SEALED.entries])
DISCLOSED: list[Written] = [as_json(disclosure) for disclosure in SEALED.disclosures]
DIGEST = "ab" * 32


def opening(record: Record) -> Opening:
    body = record.entries[0].body
    assert isinstance(body, Opening)
    return body


def personal(*changed: Written) -> str:
    """`personal.jsonl` with some of its lines replaced by `changed`, matched by their field."""
    by_field = {line["field"]: line for line in (*DISCLOSED, *changed)}
    return canonical_jsonl(list(by_field.values()))


def line_of(field: str) -> Written:
    return next(dict(line) for line in DISCLOSED if line["field"] == field)


def test_digest_is_over_salt_and_value() -> None:
    made = Disclosure(
        entry="0196b1c2-0000-7000-8000-000000000001",
        field="/client/name",
        salt="MmG0qPvlS0fAEJscxxqctQ",
        value="A. Client",
    )
    expected = hashlib.sha256(b'["MmG0qPvlS0fAEJscxxqctQ","A. Client"]').hexdigest()
    assert made.digest == expected


def test_digest_of_a_number_is_over_its_canonical_form() -> None:
    for disclosure in SEALED.disclosures:
        pair = [disclosure.salt, disclosure.value]
        assert disclosure.digest == hashlib.sha256(rfc8785.dumps(pair)).hexdigest()


def test_every_personal_field_of_the_format_moves_out() -> None:
    assert {disclosure.field for disclosure in SEALED.disclosures} == EVERY_PERSONAL_FIELD
    body = SEALED.entries[0].written["body"]
    assert body["client"]["name"].keys() == {"digest"}
    assert body["site"]["latitude_deg"].keys() == {"digest"}
    assert body["firm"] == full("job")["firm"]


def test_no_personal_value_stands_in_the_record() -> None:
    for disclosure in SEALED.disclosures:
        assert str(disclosure.value) not in TEXT


def test_every_value_has_a_salt_of_its_own() -> None:
    assert len({disclosure.salt for disclosure in SEALED.disclosures}) == len(DISCLOSED)


def test_disclosed_values_are_shown() -> None:
    assert opening(read_record(TEXT, personal())) == opening(SEALED)
    assert opening(SEALED).client.email == "client@home.example"
    assert opening(SEALED).site.latitude_deg == 54.5


@pytest.mark.parametrize("erased", sorted(EVERY_PERSONAL_FIELD))
def test_erasing_one_line_withholds_one_value(erased: str) -> None:
    left = [line for line in DISCLOSED if line["field"] != erased]
    record = read_record(TEXT, canonical_jsonl(left))
    assert record.entries[0].hash == SEALED.entries[0].hash
    assert set(entry_paths(record.entries[0])) == EVERY_PERSONAL_FIELD - {erased}


def test_record_without_its_personal_file_still_holds() -> None:
    body = opening(read_record(TEXT))
    assert isinstance(body.client.name, Withheld)
    assert isinstance(body.site.longitude_deg, Withheld)
    assert body.client.name.digest == SEALED.entries[0].written["body"]["client"]["name"]["digest"]
    assert body.crew[0].person == "ines"
    assert fold(read_record(TEXT, "")).reference == "J-2026-014"


@pytest.mark.parametrize(
    "change",
    [
        {"value": "A. Nother"},
        {"value": "A. Client "},
        {"salt": "AAAAAAAAAAAAAAAAAAAAAA"},
        {"salt": DISCLOSED[0]["salt"] + "=="},
        {"value": 5},
    ],
    ids=["value", "space", "salt", "padding", "type"],
)
def test_changed_value_or_salt_is_refused(change: Written) -> None:
    problem = problem_in(TEXT, personal(line_of("/client/name") | change))
    assert problem.place == "record.jsonl, line 1"
    assert problem.sentence == (
        "the value and salt for /client/name do not give the digest in the entry; one of them was "
        "changed, so put back personal.jsonl as it was exported."
    )


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"entry": "1"}, "entry", "it must be a UUID"),
        ({"field": "client.name"}, "field", "a path such as /client/name"),
        ({"salt": "short"}, "salt", "base64url of 16 bytes"),
        ({"salt": "+" * 22}, "salt", "base64url of 16 bytes"),
        ({"value": ["A. Client"]}, "value", "it must be text or a number"),
        ({"value": 2**53}, "value", "no personal value is as large as that"),
        ({"value": None}, "value", "it must be text or a number"),
        ({"value": ""}, "value", "is empty"),
        ({"reason": "asked"}, "reason", "is not a field of this kind"),
    ],
)
def test_malformed_disclosure_is_refused(change: Written, field: str, words: str) -> None:
    lines = [line_of("/client/name") | change, *DISCLOSED[1:]]
    problem = problem_in(TEXT, jsonl(lines))
    assert problem.place == "personal.jsonl, line 1"
    assert problem.field == field
    assert words in problem.sentence


@pytest.mark.parametrize("field", ["entry", "field", "salt", "value"])
def test_disclosure_with_a_missing_field_is_refused(field: str) -> None:
    line = line_of("/client/name")
    del line[field]
    problem = problem_in(TEXT, canonical_jsonl([line, *DISCLOSED[1:]]))
    assert problem.sentence == f"{field} is missing; it must be given."


@pytest.mark.parametrize(
    ("value", "words"),
    [("1e400", "no personal value is as large"), ("NaN", "holds NaN")],
)
def test_disclosed_value_that_is_no_json_is_refused(value: str, words: str) -> None:
    line = json.dumps(line_of("/client/name")).replace('"A. Client"', value)
    problem = problem_in(TEXT, line + "\n" + canonical_jsonl(DISCLOSED[1:]))
    assert problem.place == "personal.jsonl, line 1"
    assert words in problem.sentence


def test_deeply_nested_disclosed_value_is_refused() -> None:
    nested = "[" * 450 + "]" * 450
    line = json.dumps(line_of("/client/name")).replace('"A. Client"', nested)
    assert problem_in(TEXT, line + "\n").field == "value"


@pytest.mark.parametrize("field", ["/client/age", "/crew/7/name", "/crew/x/name", "/title/0"])
def test_disclosure_of_no_field_is_refused(field: str) -> None:
    problem = problem_in(TEXT, personal(line_of("/client/name") | {"field": field}))
    assert problem.place == "record.jsonl, line 1"
    assert field in problem.sentence


def test_disclosure_of_an_unknown_entry_is_refused() -> None:
    stray = line_of("/client/name") | {"entry": "0196b1c2-ffff-7000-8000-000000000001"}
    problem = problem_in(TEXT, canonical_jsonl([*DISCLOSED, stray]))
    assert problem.place == f"personal.jsonl, line {len(DISCLOSED) + 1}"
    assert problem.sentence.endswith("which is not in the record; remove the line.")


def test_value_disclosed_twice_is_refused() -> None:
    problem = problem_in(TEXT, canonical_jsonl([*DISCLOSED, DISCLOSED[0]]))
    assert problem.place == f"personal.jsonl, line {len(DISCLOSED) + 1}"
    assert problem.sentence == "discloses what line 1 discloses; leave one of them out."


def test_digest_in_a_field_that_is_not_personal_is_refused() -> None:
    hidden = Disclosure(
        entry=RecordBuilder().id_of(0), field="/title", salt="A" * 22, value="Garage roof"
    )
    builder = RecordBuilder.opened(title={"digest": hidden.digest})
    problem = problem_in(builder.text(), canonical_jsonl([as_json(hidden)]))
    assert "has /title in personal.jsonl, which is no personal field" in problem.sentence


def test_personal_value_under_a_hash_is_refused() -> None:
    entry = copy.deepcopy(dict(SEALED.entries[0].written))
    entry["body"]["client"]["name"] = "A. Client"
    del entry["hash"]
    entry["hash"] = hashlib.sha256(rfc8785.dumps(entry)).hexdigest()
    left = [line for line in DISCLOSED if line["field"] != "/client/name"]
    problem = problem_in(canonical_jsonl([entry]), canonical_jsonl(left))
    assert problem.sentence.startswith("holds the personal value /client/name under its hash")


@pytest.mark.parametrize("digest", ["", "ab", DIGEST.upper(), 5, None, "\u00e9" * 64])
def test_digest_that_is_no_sha256_is_refused(digest: Any) -> None:
    builder = RecordBuilder.opened(client={"name": {"digest": digest}})
    problem = problem_in(builder.text())
    assert problem.field == "job.client.name"
    assert "a SHA-256 of 64 lower-case hex digits" in problem.sentence


def test_digest_may_stand_in_every_personal_field() -> None:
    body = full("job")
    for path in EVERY_PERSONAL_FIELD:
        fields: Any = body
        *outer, name = path[1:].split("/")
        for step in outer:
            fields = fields[int(step) if step.isdigit() else step]
        fields[name] = {"digest": DIGEST}
    builder = RecordBuilder.opened(**body)
    assert list(entry_paths(builder.record().entries[0])) == []


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind is not Kind.JOB])
def test_only_the_job_holds_personal_values(kind: Kind) -> None:
    assert list(personal_paths(BODY_READERS[kind](full(kind)))) == []


def test_corrected_personal_values_move_out_too() -> None:
    builder = RecordBuilder.opened()
    body = minimal("job") | {"client": {"name": "B. Client", "phone": "01632 960009"}}
    builder.add("correction", corrects=builder.id_of(0), body=body)
    record = builder.sealed()
    moved = {d.field for d in record.disclosures if d.entry == builder.id_of(1)}
    assert moved == {
        "/body/client/name",
        "/body/client/phone",
        "/body/site/address",
        "/body/crew/0/name",
        "/body/crew/1/name",
    }
    text = canonical_jsonl([dict(entry.written) for entry in record.entries])
    assert "B. Client" not in text
    lines = canonical_jsonl([as_json(disclosure) for disclosure in record.disclosures])
    assert read_record(text, lines) == record
    assert fold(read_record(text, lines)).opening.body.client.name == "B. Client"
    assert isinstance(fold(read_record(text)).opening.body.client.name, Withheld)


def test_withholding_leaves_the_given_body_alone() -> None:
    body = minimal("job")
    hidden, moved = withhold(
        body, ["/client/name"], entry=RecordBuilder().id_of(0), new_salt=salts()
    )
    assert body == minimal("job")
    assert disclose(hidden, moved) == body
    assert hidden["client"]["name"] == {"digest": moved[0].digest}


def test_disclosing_leaves_the_given_body_alone() -> None:
    hidden, moved = withhold(
        minimal("job"), ["/client/name"], entry=RecordBuilder().id_of(0), new_salt=salts()
    )
    before = copy.deepcopy(hidden)
    disclose(hidden, moved)
    assert hidden == before


def test_disclosing_into_another_body_is_a_fault() -> None:
    _, moved = withhold(
        minimal("job"), ["/client/name"], entry=RecordBuilder().id_of(0), new_salt=salts()
    )
    with pytest.raises(Fault):
        disclose({"text": "A note."}, moved)
