"""The two sentences of a finding: plain for the homeowner, exact for the expert."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from qa.specification.model import Check, Sourced
from qa.trade.conformity import Limits, Verdict
from qa.trade.conformity_probability import conformity_probability
from qa.trade.notation import number_text, quantity_text
from qa.trade.uncertainty import COVERAGE_FACTOR, rounded_uncertainty

VERDICT_WORDS = {
    Verdict.WITHIN: "within limits",
    Verdict.OUTSIDE: "outside limits",
    Verdict.UNDECIDED: "undecided",
    Verdict.NOT_RECORDED: "not recorded",
    Verdict.NOT_APPLICABLE: "not applicable",
}


_NO_LIMITS = Limits()
_NEARLY_CERTAIN = 0.999
"""A probability beyond this is told as a bound: no roof is known better."""

_NONE = "none at all"
_WHOLE_FROM = 1000
"""From here on, a number is told to the whole unit."""


class Telling(NamedTuple):
    """What a finding's sentences are made from besides its value, limits and verdict.

    A named tuple, as the finding is.

    Attributes:
        check: what was judged.
        sourced: the basis and source of the limits that applied.
        answer: whether the answer to an observation was the good one, or None.
        reason: why the check does not apply, or None.
        remark: what the expert should know beside, a sentence or more.
        area_name: the area's name where the job has several, or None.
    """

    check: Check
    sourced: Sourced
    answer: bool | None = None
    reason: str | None = None
    remark: str = ""
    area_name: str | None = None


@lru_cache(maxsize=1024)
def limits_text(limits: Limits, unit: str | None) -> str:
    """Limits in words: "at most 18 %", "between 20 and 35 mm"; empty where there is none.

    >>> limits_text(Limits(lower=20, upper=35), "mm")
    'between 20 and 35 mm'
    """
    lower, upper = limits.lower, limits.upper
    if lower is not None and lower == upper:
        return f"exactly {quantity_text(lower, unit)}"
    if lower is not None and upper is not None:
        return f"between {number_text(lower)} and {quantity_text(upper, unit)}"
    if lower is not None:
        return f"at least {quantity_text(lower, unit)}"
    if upper == 0:
        return _NONE
    return f"at most {quantity_text(upper, unit)}" if upper is not None else ""


def plain_sentence(telling: Telling, value: float | None, limits: Limits, verdict: Verdict) -> str:
    """The homeowner's sentence, with the area's name before it where the job has several.

    Args:
        telling: what was judged and what is known of it besides.
        value: what was measured, in the check's unit, or None.
        limits: the limits that applied.
        verdict: the verdict.
    """
    check = telling.check
    if verdict is Verdict.NOT_APPLICABLE:
        reason = (telling.reason or "").rstrip(".")
        told = f"{check.plain}: this does not apply here ({reason})."
    elif verdict is Verdict.NOT_RECORDED:
        told = f"{check.plain} was not recorded."
    elif value is None:
        told = _plain_answer(check, verdict)
    else:
        told = _plain_value(check, value, limits, verdict)
    return f"{telling.area_name}: {told}" if telling.area_name else told


def _plain_answer(check: Check, verdict: Verdict) -> str:
    sentence = check.plain_good if verdict is Verdict.WITHIN else check.plain_bad
    return sentence or f"{check.plain}: {VERDICT_WORDS[verdict]}."


def _plain_value(check: Check, value: float, limits: Limits, verdict: Verdict) -> str:
    asked = limits_text(limits, check.unit)
    found = rounded_text(value, limits, check.unit)
    answer = check.plain_good if verdict is Verdict.WITHIN else check.plain_bad
    if answer is not None and verdict is not Verdict.UNDECIDED:
        return f"{answer.rstrip('.')} ({found}; asked for: {asked})."
    told = f"{check.plain} was {found}"
    if not asked:
        return f"{told}, {VERDICT_WORDS[verdict]}."
    if verdict is Verdict.WITHIN:
        return f"{told}, as it should be ({asked})."
    if verdict is Verdict.UNDECIDED:
        return f"{told}; whether that is enough could not be decided ({asked})."
    return f"{told}; " + ("there should be none." if asked == _NONE else f"it should be {asked}.")


def rounded_text(value: float, limits: Limits, unit: str | None) -> str:
    """A value to three digits, or as many more as it takes to keep its side of a limit.

    >>> rounded_text(18.004, Limits(upper=18), "%")
    '18.004 %'
    >>> rounded_text(14.2386, Limits(upper=18), "%")
    '14.2 %'
    """
    whole = float(f"{value:.3g}") if abs(value) < _WHOLE_FROM else float(f"{value:.0f}")
    for limit in (limits.lower, limits.upper):
        if limit is not None and value != limit and (whole - limit) * (value - limit) <= 0:
            return quantity_text(value, unit, 6)
    return quantity_text(whole, unit)


def exact_sentence(
    telling: Telling,
    value: float | None,
    expanded_uncertainty: float | None,
    limits: Limits,
    verdict: Verdict,
) -> str:
    """The expert's sentence: quantity, value, limits with basis and source, verdict, remark."""
    check = telling.check
    found = _found(check, value, expanded_uncertainty, telling.answer, verdict)
    asked = limits_text(limits, check.unit) or _asked_answer(check)
    basis = _basis(telling.sourced)
    judged = f"limit {asked} ({basis})" if asked else f"({basis})"
    reason = f" Reason: {telling.reason}" if telling.reason else ""
    remark = f" {telling.remark}" if telling.remark else ""
    probability = _probability(value, expanded_uncertainty, limits)
    verdict_text = f"{VERDICT_WORDS[verdict]}{probability}"
    return f"{check.quantity}: {found}; {judged}; {verdict_text}.{reason}{remark}"


def _probability(value: float | None, expanded_uncertainty: float | None, limits: Limits) -> str:
    """How probable it is that the limits are kept, where an uncertainty says so; or nothing."""
    if value is None or not expanded_uncertainty or limits == _NO_LIMITS:
        return ""
    probability = conformity_probability(
        value, standard_uncertainty=expanded_uncertainty / COVERAGE_FACTOR, limits=limits
    )
    return f", probability of conformity {probability_text(probability)}"


def probability_text(probability: float) -> str:
    """A probability in percent, never told as certain.

    >>> probability_text(0.9192)
    '91.9 %'
    >>> probability_text(0.99999)
    'above 99.9 %'
    """
    if probability > _NEARLY_CERTAIN:
        return f"above {quantity_text(100.0 * _NEARLY_CERTAIN, '%')}"
    if probability < 1.0 - _NEARLY_CERTAIN:
        return f"below {quantity_text(round(100.0 * (1.0 - _NEARLY_CERTAIN), 1), '%')}"
    return f"{100.0 * probability:.1f} %"


@lru_cache(maxsize=1024)
def _basis(sourced: Sourced) -> str:
    """Basis and source, without saying the basis twice where the source begins with it."""
    source = sourced.source.rstrip(".")
    if source.lower().startswith(sourced.basis):
        return source[0].lower() + source[1:]
    return f"{sourced.basis}: {source}"


def _found(
    check: Check,
    value: float | None,
    expanded_uncertainty: float | None,
    answer: bool | None,
    verdict: Verdict,
) -> str:
    if value is not None:
        text = quantity_text(value, check.unit)
        if expanded_uncertainty:
            spread = quantity_text(rounded_uncertainty(expanded_uncertainty), check.unit)
            text += f" ± {spread} (k = 2)"
        return text
    if answer is not None:
        yes = answer if check.expects is not False else not answer
        return "yes" if yes else "no"
    return "nothing recorded" if verdict is Verdict.NOT_RECORDED else "no value"


def _asked_answer(check: Check) -> str:
    if check.expects is None:
        return ""
    return "yes" if check.expects else "no"
