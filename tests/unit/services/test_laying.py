"""“Lay” or “do not lay, because”: on, just inside and just outside each limit.

Limits: the built-in specification. Deck and air 5 to 35 °C and humidity at most 85 %: published;
margin at least 3 K: ISO 8502-4 practice; moisture at most 18 %: a choice of the specification.
"""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.assessment import assess
from qa.services.laying import LayAnswer, Laying, lay_answer
from qa.specification.loader import built_in
from qa.trade.dew_point import dew_point_c
from tests.factories import RecordBuilder

SPECIFICATION = built_in("general-grp/1")
FINE = {"deck_c": 20.0, "air_c": 20.0, "humidity_pct": 60.0}


def _answer(**fields: Any) -> LayAnswer:
    builder = RecordBuilder.equipped()
    builder.add("conditions", **(FINE | fields))
    job = builder.job()
    return lay_answer(SPECIFICATION, job.conditions[0], assess(job, SPECIFICATION).findings)


def test_good_figures_say_lay() -> None:
    assert _answer().sentence == "Lay."


@pytest.mark.parametrize(
    ("field", "value", "lays"),
    [
        ("deck_c", 35.0, True),
        ("deck_c", 35.1, False),
        ("air_c", 5.0, True),
        ("air_c", 4.9, False),
        ("humidity_pct", 85.0, None),
        ("moisture_pct", 18.0, True),
        ("moisture_pct", 18.1, False),
        ("rain", False, True),
        ("rain", True, False),
    ],
)
def test_each_limit_decides(field: str, value: float, lays: bool | None) -> None:
    answer = _answer(**{field: value})
    if lays is None:  # 85 % at 20 °C leaves 2.6 K above the dew point: humidity itself is no reason
        assert "relative humidity" not in answer.sentence
    else:
        assert (answer.answer is Laying.LAY) == lays, answer.sentence


@pytest.mark.parametrize(("above_k", "lays"), [(3.0, True), (3.01, True), (2.99, False)])
def test_deck_stays_three_kelvin_above_the_dew_point(above_k: float, lays: bool) -> None:
    dew_c = dew_point_c(air_c=20.0, humidity_pct=60.0)
    assert (_answer(deck_c=dew_c + above_k).answer is Laying.LAY) == lays


def test_reasons_name_figure_and_limit() -> None:
    assert _answer(deck_c=4.0, humidity_pct=20.0).sentence == (
        "Do not lay, because the temperature of the deck surface is 4 °C, not between 5 and 35 °C."
    )


def test_every_reason_is_told() -> None:
    sentence = _answer(deck_c=4.0, air_c=4.0, humidity_pct=95.0, rain=True).sentence
    for part in ("raining", "deck surface is 4", "the air is 4", "95 %", "dew point"):
        assert part in sentence


def test_missing_figure_is_not_decided() -> None:
    answer = _answer(humidity_pct=...)
    assert answer.answer is Laying.UNKNOWN
    assert "humidity of the air is not known" in answer.sentence
