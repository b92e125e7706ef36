"""The guarded rule: near a limit the verdict is open, and outside never becomes within."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.specification.loader import built_in_path, load_specification
from qa.specification.model import Specification
from qa.trade.conformity import DecisionRule, Verdict
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, only, sound_job

GUARDED = replace(GENERAL, rule=DecisionRule.GUARDED)


@pytest.fixture
def edited(tmp_path: Path) -> Specification:
    """A firm's copy of the general specification with the other rule."""
    text = built_in_path("general-grp/1").read_text(encoding="utf-8")
    assert 'decision_rule = "simple"' in text
    copy = tmp_path / "our-firm.toml"
    copy.write_text(text.replace('decision_rule = "simple"', 'decision_rule = "guarded"'))
    return load_specification(copy)


def moisture(value: float, uncertainty: float | None, specification: Specification) -> Verdict:
    builder = equipped()
    meter = {"measures": "moisture content", "expanded_uncertainty": uncertainty}
    builder.add("instrument", instrument="meter", **(meter if uncertainty is not None else {}))
    builder.add("measurement", value=value, area="main", instrument="meter")
    return only(assessed(builder, specification), "deck.moisture").verdict


@pytest.mark.parametrize(
    ("value", "verdict"),
    # JCGM 106:2012, guarded acceptance with w = U (clause numbers from memory); limit 18 %, U 1 %.
    [
        (16.9, Verdict.WITHIN),
        (17, Verdict.WITHIN),
        (17.1, Verdict.UNDECIDED),
        (18, Verdict.UNDECIDED),
        (18.9, Verdict.UNDECIDED),
        (19.1, Verdict.OUTSIDE),
    ],
)
def test_value_near_its_limit_is_undecided(
    value: float, verdict: Verdict, edited: Specification
) -> None:
    assert edited.rule is DecisionRule.GUARDED
    assert moisture(value, 1, edited) is verdict


def test_unknown_uncertainty_decides_nothing() -> None:
    assert moisture(10, None, GUARDED) is Verdict.UNDECIDED


def test_counts_and_answers_are_exact() -> None:
    assessment = assessed(sound_job(), GUARDED)
    exact = ("deck.fixings_across_board", "deck.dry", "laminate.pinholes", "mix.batch_in_date")
    for check in exact:
        found = [f for f in assessment.findings if f.check == check and f.subject != "mix-9"]
        assert {f.verdict for f in found} == {Verdict.WITHIN}, check


@given(
    value=st.floats(0, 40, allow_nan=False),
    uncertainty=st.one_of(st.none(), st.floats(0, 10, allow_nan=False)),
)
def test_guarding_never_turns_outside_into_within(value: float, uncertainty: float | None) -> None:
    simple, guarded = (moisture(value, uncertainty, spec) for spec in (GENERAL, GUARDED))
    assert guarded in {simple, Verdict.UNDECIDED}
