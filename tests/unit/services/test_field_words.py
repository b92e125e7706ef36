"""Every field of every kind of entry has a label, and its value is told with its unit."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Iterator

import pytest

from qa.record.registry import BODIES, BODY_READERS, Kind
from qa.record.schema import Withheld, json_name
from qa.services.field_words import KIND_WORDS, LABELS, fields_text
from tests.examples import full
from tests.unit.services.test_telling import TELLING


def names_in(hint: object) -> Iterator[str]:
    if dataclasses.is_dataclass(hint) and isinstance(hint, type) and hint is not Withheld:
        for name, held in typing.get_type_hints(hint).items():
            yield json_name(name)
            yield from names_in(held)
    for part in typing.get_args(hint):
        yield from names_in(part)


def told(kind: str, **fields: object) -> dict[str, str]:
    body = BODY_READERS[Kind(kind)](full(kind) | fields)
    return {row.label: row.text for row in fields_text(body, TELLING)}


@pytest.mark.parametrize("kind", list(Kind))
def test_every_field_has_a_label(kind: Kind) -> None:
    assert set(names_in(BODIES[kind])) <= set(LABELS)
    assert KIND_WORDS[kind]


@pytest.mark.parametrize("kind", list(Kind))
def test_every_field_of_a_full_entry_is_told(kind: Kind) -> None:
    rows = fields_text(BODY_READERS[kind](full(kind)), TELLING)
    assert rows
    assert all(row.text and "None" not in row.text for row in rows)


def test_values_carry_their_units() -> None:
    mix = told("mix", kg=4.25, catalyst_ml=127.5, deck_c=13)
    assert (mix["Weight"], mix["Catalyst"], mix["Deck"]) == ("4.25 kg", "127.5 ml", "13 °C")
    measured = told("measurement", check="deck.moisture", value=14.5, unit="%")
    assert measured["Value"] == "14.5 %"
    assert measured["Check"] == "Moisture content of the deck boards"


def test_times_are_told_on_the_sites_clock() -> None:
    stop = told("interruption", **{"from": "2026-05-12T09:42:00+00:00"})
    assert stop["From"] == "12 May 2026, 10:42:00"


def test_people_of_the_crew_stand_in_a_line_each() -> None:
    opening = told("job")
    assert opening["Crew 1"].startswith("ines, Ines Invented, installer")
    assert opening["Client, name"]


def test_erased_value_is_told_as_erased() -> None:
    opening = told("job", client={"name": {"digest": "0" * 64}})
    assert opening["Client, name"] == "(erased)"
