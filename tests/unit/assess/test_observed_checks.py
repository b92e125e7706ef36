"""Checks that people answer by yes or no."""

from __future__ import annotations

import pytest

from qa.trade.conformity import Verdict
from tests.unit.assess.sound_job import OBSERVED, only, sound_job

EACH = pytest.mark.parametrize("check", sorted(OBSERVED))


def bad(check: str) -> str:
    return "yes" if OBSERVED[check][1] == "no" else "no"


@EACH
def test_good_answer_is_within(check: str) -> None:
    found = only(sound_job(), check)
    assert (found.verdict, found.value, found.stage) == (Verdict.WITHIN, None, OBSERVED[check][0])


@EACH
def test_bad_answer_is_outside(check: str) -> None:
    found = only(sound_job(observed={check: bad(check)}), check)
    assert found.verdict is Verdict.OUTSIDE
    assert not found.put_right
    assert found.plain != only(sound_job(), check).plain


@EACH
def test_check_that_does_not_apply_gives_its_reason(check: str) -> None:
    found = only(sound_job(observed={check: "not_applicable"}), check)
    assert found.verdict is Verdict.NOT_APPLICABLE
    assert "No such thing on this roof" in found.plain
    assert "No such thing on this roof." in found.exact


@EACH
def test_silence_on_an_answer_is_not_recorded(check: str) -> None:
    assert only(sound_job(without={check}), check).verdict is Verdict.NOT_RECORDED


def test_back_fall_is_good_where_the_answer_is_no() -> None:
    assert only(sound_job(), "survey.back_fall").verdict is Verdict.WITHIN
    assert ": no; limit none at all " in only(sound_job(), "survey.back_fall").exact
