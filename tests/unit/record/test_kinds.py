"""Every kind of entry, field by field, as the format's table of kinds gives them.

The twins of each good body differ from it in one thing only, and the test's id says in which.
"""

from __future__ import annotations

from typing import Any

import pytest

from qa.errors import Problem, RecordError
from qa.record.reading import read_record
from qa.record.registry import BODIES, Kind
from tests.examples import KINDS, Body, full, minimal
from tests.factories import RecordBuilder
from tests.unit.record.format_table import CHOICES, NEVER_TRUE, OPTIONAL, REQUIRED

LISTS_OF_OBJECTS = {"crew", "edges", "upstands", "disclosures", "documents", "marks"}


def written(kind: str, body: Body) -> RecordBuilder:
    """A record whose last line is an entry of `kind` with exactly `body`."""
    needed = {"job": (), "area": ("job",), "nonconformity": ("job", "area")}
    builder = RecordBuilder()
    for before in needed.get(kind, ("job", "area", "nonconformity")):
        builder.add(before)
    if kind == "usage":
        builder.add("lot", lot="resin-1")
    if kind == "annotation":
        builder.add("photo")
    builder.add(kind, at="08:40")
    builder.entries[-1]["body"] = body
    return builder


def problems_of(kind: str, body: Body) -> tuple[Problem, ...]:
    builder = written(kind, body)
    with pytest.raises(RecordError) as refused:
        read_record(builder.text())
    for problem in refused.value.problems:
        line = len(builder.entries)
        assert problem.place == f"record.jsonl, line {line}"
        assert problem.line == line
        assert problem.sentence.endswith((".", "?"))
        assert problem.field is not None
        assert problem.sentence.startswith(problem.field)
    return refused.value.problems


def the_problem(kind: str, body: Body) -> Problem:
    (problem,) = problems_of(kind, body)
    return problem


def holder(body: Body, path: str) -> tuple[Body, str]:
    """The object that holds the field at a dotted path; of a list, its first object."""
    *outer, name = path.split(".")
    for step in outer:
        inner = body[step]
        body = inner[0] if isinstance(inner, list) else inner
    return body, name


def in_words(kind: str, path: str) -> str:
    """The field's path as a sentence gives it."""
    steps = path.split(".")
    return ".".join(
        [kind, *(f"{s}[0]" if s in LISTS_OF_OBJECTS else s for s in steps[:-1]), steps[-1]]
    )


def with_value(kind: str, path: str, value: Any) -> Body:
    body = full(kind)
    fields, name = holder(body, path)
    fields[name] = value
    return body


def without(kind: str, path: str) -> Body:
    body = full(kind)
    fields, name = holder(body, path)
    del fields[name]
    return body


def fields_of(*tables: dict[str, tuple[str, ...]]) -> list[Any]:
    return [
        pytest.param(kind, path, id=f"{kind}.{path}")
        for table in tables
        for kind, paths in table.items()
        for path in paths
    ]


def example(kind: str, path: str) -> Any:
    fields, name = holder(full(kind), path)
    return fields[name]


NUMBERS = [p for p in fields_of(REQUIRED, OPTIONAL) if type(example(*p.values)) in (int, float)]
NOT_NULL = [p for p in fields_of(REQUIRED) if p.values != ("correction", "body")]


def test_the_kinds_are_those_of_the_format() -> None:
    assert KINDS == tuple(REQUIRED) == tuple(kind.value for kind in Kind) == tuple(BODIES)


@pytest.mark.parametrize("kind", KINDS)
def test_full_entry_of_every_kind_is_taken(kind: str) -> None:
    record = read_record(written(kind, full(kind)).text())
    assert record.entries[-1].kind == kind


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "correction"])
def test_minimal_entry_of_every_kind_is_taken(kind: str) -> None:
    record = read_record(written(kind, minimal(kind)).text())
    assert record.entries[-1].kind == kind


def test_minimal_correction_withdraws_an_entry() -> None:
    builder = RecordBuilder.opened()
    note = builder.add("note")
    builder.add("correction", corrects=note)
    assert builder.record().entries[-1].new_body is None


@pytest.mark.parametrize(("kind", "path"), fields_of(REQUIRED))
def test_missing_required_field_is_refused(kind: str, path: str) -> None:
    problem = the_problem(kind, without(kind, path))
    assert problem.field == in_words(kind, path)
    assert problem.sentence == f"{in_words(kind, path)} is missing; it must be given."


@pytest.mark.parametrize(("kind", "path"), fields_of(OPTIONAL))
def test_optional_field_may_be_left_out(kind: str, path: str) -> None:
    read_record(written(kind, without(kind, path)).text())


@pytest.mark.parametrize(("kind", "path"), fields_of(OPTIONAL))
def test_null_leaves_an_optional_field_out(kind: str, path: str) -> None:
    read_record(written(kind, with_value(kind, path, None)).text())


@pytest.mark.parametrize(("kind", "path"), NOT_NULL)
def test_null_in_a_required_field_is_refused(kind: str, path: str) -> None:
    problem = the_problem(kind, with_value(kind, path, None))
    assert problem.field == in_words(kind, path)
    assert "is null; " in problem.sentence or "is “null”; " in problem.sentence


@pytest.mark.parametrize(("kind", "path"), fields_of(REQUIRED, OPTIONAL))
def test_field_of_another_type_is_refused(kind: str, path: str) -> None:
    value = example(kind, path)
    wrong: Any = str(value) if type(value) in (int, float) else 7
    problem = the_problem(kind, with_value(kind, path, wrong))
    assert problem.field == in_words(kind, path)
    assert "; " in problem.sentence or " must be " in problem.sentence, "no remedy"


@pytest.mark.parametrize(("kind", "path"), NUMBERS)
def test_true_is_never_a_number(kind: str, path: str) -> None:
    assert "is true; it must be a " in the_problem(kind, with_value(kind, path, True)).sentence


@pytest.mark.parametrize("kind", KINDS)
def test_unknown_field_is_refused(kind: str) -> None:
    problem = the_problem(kind, full(kind) | {"colour": "grey"})
    assert problem.field == f"{kind}.colour"
    assert "is not a field of this kind; " in problem.sentence


@pytest.mark.parametrize(
    ("kind", "path"),
    [
        ("job", "firm"),
        ("job", "client"),
        ("job", "site"),
        ("job", "crew"),
        ("area", "edges"),
        ("area", "upstands"),
        ("erasure", "disclosures"),
        ("handover", "documents"),
    ],
)
def test_unknown_field_inside_is_refused(kind: str, path: str) -> None:
    body = full(kind)
    fields, name = holder(body, f"{path}.colour")
    fields[name] = "grey"
    assert the_problem(kind, body).field == in_words(kind, f"{path}.colour").replace(
        f"{path}.", f"{path}{'[0]' if isinstance(body[path], list) else ''}."
    )


def test_mistyped_field_brings_a_suggestion() -> None:
    body = minimal("mix") | {"stired_after_s": 60}
    assert the_problem("mix", body).sentence == (
        "mix.stired_after_s is not a field of this kind; did you mean stirred_after_s?"
    )


@pytest.mark.parametrize("name", ["x" * 100_000, "a\nb", "\x1b[2J", "\u202eb"])
def test_foreign_name_is_quoted_short_and_plain(name: str) -> None:
    sentence = the_problem("note", minimal("note") | {name: 1}).sentence
    assert len(sentence) < 300
    assert sentence.isprintable()


@pytest.mark.parametrize(("kind", "path"), CHOICES, ids=lambda value: value)
def test_every_word_of_a_choice_is_taken(kind: str, path: str) -> None:
    for word in CHOICES[kind, path].split(", "):
        read_record(written(kind, with_value(kind, path, word)).text())


@pytest.mark.parametrize(("kind", "path"), CHOICES, ids=lambda value: value)
def test_other_word_is_refused_with_the_choice(kind: str, path: str) -> None:
    sentence = the_problem(kind, with_value(kind, path, "perhaps")).sentence
    assert sentence == (
        f"{in_words(kind, path)} is “perhaps”; it must be one of: {CHOICES[kind, path]}."
    )


@pytest.mark.parametrize(
    ("kind", "path", "value", "words"),
    [pytest.param(*row, id=f"{row[0]}.{row[1]}-{str(row[2])[:24]!a}") for row in NEVER_TRUE],
)
def test_impossible_value_is_refused(kind: str, path: str, value: Any, words: str) -> None:
    problem = the_problem(kind, with_value(kind, path, value))
    assert problem.field is not None
    assert problem.field.startswith(in_words(kind, path))
    assert words in problem.sentence


@pytest.mark.parametrize(
    ("kind", "path", "value"),
    [
        ("conditions", "humidity_pct", 100),
        ("conditions", "air_c", -60),
        ("conditions", "deck_c", 100),
        ("conditions", "wind_m_per_s", 0),
        ("mix", "catalyst_ml", 0),
        ("mix", "kg", 0.001),
        ("area", "slope_deg", 0),
        ("area", "slope_deg", 60),
        ("area", "layers", 10),
        ("usage", "used", 0.8),
        ("examination", "pinholes", 2.0),
        ("interruption", "until", "2026-05-12T10:00:00+01:00"),
        ("note", "text", "Two lines,\n\tthe second set in; é, 漢字, 🙂."),
        ("photo", "file", "photos/Dach – Nord (2).JPG"),
        ("job", "site.latitude_deg", -90),
    ],
)
def test_value_on_the_edge_is_taken(kind: str, path: str, value: Any) -> None:
    read_record(written(kind, with_value(kind, path, value)).text())


def test_negative_weight_is_refused_in_a_sentence() -> None:
    builder = RecordBuilder.equipped()
    builder.add("conditions")
    builder.add("mix", kg=-3)
    with pytest.raises(RecordError) as refused:
        builder.record()
    assert str(refused.value) == (
        "record.jsonl, line 11: mix.kg is −3; a mix weighs more than nothing and at most 5000 kg.\n"
        "Nothing has been taken in."
    )


def test_reading_without_a_value_is_refused() -> None:
    body = {"stage": "deck", "area": "main", "instruments": ["thermometer"]}
    assert the_problem("conditions", body).sentence == (
        "conditions has no value; give at least one reading."
    )


@pytest.mark.parametrize("value", [{"rain": False}, {"wind_m_per_s": 0}, {"moisture_pct": 0}])
def test_any_one_reading_is_enough(value: Body) -> None:
    read_record(written("conditions", {"stage": "deck", **value}).text())


def test_not_applicable_needs_a_reason() -> None:
    body = minimal("observation") | {"result": "not_applicable"}
    assert the_problem("observation", body).sentence == (
        "observation.reason is missing; say why the check does not apply."
    )


def test_erasure_of_nothing_is_refused() -> None:
    problem = the_problem("erasure", {"reason": "Asked for.", "disclosures": []})
    assert "names nothing that was erased" in problem.sentence


def test_self_crossing_outline_is_refused_with_the_place() -> None:
    bow_tie = minimal("area") | {"outline_m": [[0, 0], [2, 2], [2, 0], [0, 2]]}
    problem = the_problem("area", bow_tie)
    assert problem.field == "area.outline_m"
    assert "Edges 1 and 3 of the outline meet at (1.000, 1.000) m" in problem.sentence


def test_opening_outside_is_refused_with_the_place() -> None:
    body = minimal("area") | {"openings_m": [[[7, 1], [8, 1], [8, 2]]]}
    problem = the_problem("area", body)
    assert problem.field == "area.openings_m"
    assert "Opening 1 lies outside the outline, at (7.000, 1.000) m" in problem.sentence


def test_two_edges_under_one_key_are_refused() -> None:
    body = minimal("area")
    body["edges"][1]["edge"] = "eaves"
    assert the_problem("area", body).sentence == (
        "area.edges[1].edge is “eaves” a second time; rename one."
    )


def test_two_people_under_one_key_are_refused() -> None:
    body = minimal("job")
    body["crew"][1]["person"] = "ines"
    assert the_problem("job", body).field == "job.crew[1].person"


@pytest.mark.parametrize("body", [None, [], "deck dry", 3])
def test_body_that_is_no_object_is_refused(body: Any) -> None:
    assert the_problem("note", body).sentence.endswith("it must be an object in curly brackets.")


def test_every_fault_of_a_body_is_told() -> None:
    body = minimal("mix") | {"kg": -3, "deck_c": "14", "colour": "grey"}
    del body["lot"]
    fields = [problem.field for problem in problems_of("mix", body)]
    assert fields == ["mix.kg", "mix.deck_c", "mix.colour", "mix.lot"]
