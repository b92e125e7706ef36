"""Every kind of entry in one line of plain words."""

from __future__ import annotations

from collections.abc import Callable
from zoneinfo import ZoneInfo

import pytest

from qa.record.registry import BODY_READERS, Kind
from qa.services.telling import Telling
from qa.specification.loader import built_in
from tests.examples import full, minimal

TELLING = Telling(
    specification=built_in("general-grp/1"),
    zone=ZoneInfo("Europe/London"),
    areas={"main": "Main roof", "porch": "Porch"},
)


def line(kind: str, **fields: object) -> str:
    body = {name: value for name, value in (minimal(kind) | fields).items() if value is not ...}
    return TELLING.body(BODY_READERS[Kind(kind)](body))


@pytest.mark.parametrize("kind", list(Kind))
@pytest.mark.parametrize("example", [minimal, full])
def test_every_kind_is_told_in_one_line(kind: Kind, example: Callable[[str], object]) -> None:
    told = TELLING.body(BODY_READERS[kind](example(kind)))
    assert told
    assert "\n" not in told
    assert "None" not in told
    assert "_" not in told


@pytest.mark.parametrize(
    ("kind", "fields", "told"),
    [
        (
            "measurement",
            {"check": "deck.moisture", "value": 14.5, "unit": "%", "area": "main"},
            "Moisture content of the deck boards: 14.5 %, Main roof",
        ),
        (
            "measurement",
            {"check": "firm.own", "value": 3, "unit": "1", "area": ...},
            "firm.own: 3",
        ),
        (
            "observation",
            {"check": "deck.dry", "result": "not_applicable", "reason": "no deck yet"},
            "Deck surface dry, no standing or fresh water: does not apply, because no deck yet",
        ),
        (
            "conditions",
            {"air_c": 14.5, "humidity_pct": 62, "deck_c": 13, "rain": False, "area": "porch"},
            "Conditions: air 14.5 °C, humidity 62 %, deck 13 °C, no rain, Porch",
        ),
        ("photo", {"stage": "deck", "caption": ..., "area": ...}, "Photo: Deck"),
        ("correction", {"reason": "a slip", "body": None}, "Withdrawn: a slip"),
        ("correction", {"reason": "a slip", "body": {"text": "so"}}, "Put right: a slip"),
        (
            "usage",
            {"lot": "boards", "used": 1, "unit": "piece", "area": "main"},
            "Used: 1 piece of boards, Main roof",
        ),
    ],
)
def test_line_says_what_was_recorded(kind: str, fields: dict[str, object], told: str) -> None:
    assert line(kind, **fields) == told


def test_single_area_is_not_named() -> None:
    alone = Telling(specification=TELLING.specification, zone=TELLING.zone, areas={})
    told = alone.body(BODY_READERS[Kind.NOTE]({"text": "Dry all day.", "area": "main"}))
    assert told == "Note: Dry all day."
