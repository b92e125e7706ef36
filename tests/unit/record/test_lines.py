"""The text of `record.jsonl`: UTF-8, one JSON object a line, all or nothing."""

from __future__ import annotations

import json

import pytest

from qa.record.reading import read_record
from tests.factories import RecordBuilder
from tests.unit.record.refusals import problem_in, problems_in

GOOD = RecordBuilder.opened()
GOOD.add("note", text="First.")
GOOD.add("note", text="Second.")


def with_line_2(line: str) -> str:
    first, _, third = GOOD.text().splitlines()
    return f"{first}\n{line}\n{third}\n"


def note(text: str = '"First."') -> str:
    return with_line_2(json.dumps(GOOD.entries[1]).replace('"First."', text))


BROKEN_LINES = {
    "cut_short": ('{"id": "0196b1c2', "the line breaks off before its closing bracket"),
    "bare_word": ("{note}", "the line is not JSON at character 2"),
    "two_objects": ("{} {}", "the line is not JSON at character 4"),
    "trailing_comma": ('{"id": 1,}', "the line is not JSON at character"),
    "single_quotes": ("{'id': 1}", "the line is not JSON at character 2"),
    "nan": ('{"id": NaN}', "the line holds NaN, which is no number"),
    "infinity": ('{"id": Infinity}', "the line holds Infinity, which is no number"),
    "minus_infinity": ('{"id": -Infinity}', "the line holds -Infinity, which is no number"),
    "field_twice": ('{"id": 1, "id": 2}', "the line gives the field “id” twice"),
    "field_twice_inside": ('{"body": {"a": 1, "a": 1}}', "the line gives the field “a” twice"),
    "nested_too_deeply": ('{"id":' * 100_000 + "1" + "}" * 100_000, "the line nests too deeply"),
    "endless_number": ('{"id": ' + "9" * 5_000 + "}", "a number of more digits than can be read"),
    "half_character": ('{"id": "\\ud800"}', "the line holds half a character"),
    "half_character_in_a_name": ('{"\\udc00": 1}', "the line holds half a character"),
    "list": ("[1, 2]", "is a list; an entry is an object in curly brackets"),
    "number": ("5", "is 5; an entry is an object in curly brackets"),
    "null": ("null", "is null; an entry is an object in curly brackets"),
}


@pytest.mark.parametrize("broken", BROKEN_LINES)
def test_broken_line_is_refused_by_number(broken: str) -> None:
    line, words = BROKEN_LINES[broken]
    problem = problem_in(with_line_2(line))
    assert problem.place == "record.jsonl, line 2"
    assert problem.line == 2
    assert words in problem.sentence


def test_truncated_last_line_is_refused() -> None:
    problem = problem_in(GOOD.text()[:-30])
    assert problem.line == 3
    assert problem.sentence == (
        "the line breaks off before its closing bracket; it is truncated. Mend the line."
    )


@pytest.mark.parametrize("overlarge", ["1e400", "-1e400"])
def test_number_beyond_every_double_is_refused(overlarge: str) -> None:
    builder = RecordBuilder.opened()
    builder.add("measurement", value=77)
    text = builder.text().replace(": 77", f": {overlarge}")
    assert problem_in(text).field == "measurement.value"


def test_whole_character_by_two_escapes_is_taken() -> None:
    record = read_record(note('"\\ud83d\\ude02"'))
    assert record.entries[1].body == read_record(note('"😂"')).entries[1].body


def test_escaped_backslash_is_no_half_character() -> None:
    read_record(note('"C:\\\\ud800"'))


@pytest.mark.parametrize("separator", ["\u2028", "\u2029", "\u0085", "\x0c"])
def test_only_a_line_feed_ends_a_line(separator: str) -> None:
    text = note(json.dumps(f"a{separator}b", ensure_ascii=separator == "\x0c"))
    if separator == "\x0c":
        assert problem_in(text).sentence.startswith("note.text holds a control character")
    else:
        assert len(read_record(text).entries) == 3


def test_blank_lines_count_but_say_nothing() -> None:
    spaced = "\n  \n" + GOOD.text().replace("\n", "\n\n\t\n")
    assert read_record(spaced) == read_record(GOOD.text())
    assert [entry.line for entry in read_record(spaced).entries] == [3, 6, 9]


def test_missing_last_line_end_is_no_fault() -> None:
    assert read_record(GOOD.text().rstrip("\n")) == read_record(GOOD.text())


def test_carriage_returns_at_line_ends_are_no_fault() -> None:
    assert read_record(GOOD.text().replace("\n", "\r\n")) == read_record(GOOD.text())


@pytest.mark.parametrize("text", ["", "\n", " \r\n\n"])
def test_record_without_an_entry_is_refused(text: str) -> None:
    problem = problem_in(text)
    assert problem.place == "record.jsonl"
    assert problem.sentence == "has no entry; the first is of kind job."


def test_spacing_and_order_of_fields_mean_nothing() -> None:
    reordered = "".join(
        json.dumps(dict(reversed(entry.items())), separators=(" ,", " : ")) + "\n"
        for entry in GOOD.entries
    )
    assert read_record(reordered) == read_record(GOOD.text())


def test_every_fault_of_a_record_is_told() -> None:
    builder = RecordBuilder.opened(title="", time_zone="Mars/Base")
    builder.add("mix", kg=-3, deck_c=400)
    builder.add("note")
    builder.add("conditions", at="2026-05-12T09:00:00", by="")
    text = builder.text().replace('"Neighbour told of the smell."', '"cut')
    told = [(problem.line, problem.field) for problem in problems_in(text)]
    assert told == [
        (1, "job.title"),
        (1, "job.time_zone"),
        (2, "mix.kg"),
        (2, "mix.deck_c"),
        (3, None),
        (4, "at"),
        (4, "by"),
    ]


def test_fault_in_one_line_blames_no_other() -> None:
    builder = RecordBuilder.opened()
    mix = builder.add("mix", kg=-3, area="main")
    builder.add("correction", corrects=mix)
    builder.entries.insert(1, builder.entries[1] | {"id": builder.id_of(9), "kind": "mixx"})
    fields = [(problem.line, problem.field) for problem in problems_in(builder.text())]
    assert fields == [(2, "kind"), (3, "mix.kg")]
