"""The two sentences of a finding: plain for the homeowner, exact for the expert."""

from __future__ import annotations

from functools import lru_cache

from qa.specification.model import Check, Sourced
from qa.trade.conformity import Limits, Verdict
from qa.trade.notation import number_text, quantity_text

VERDICT_WORDS = {
    Verdict.WITHIN: "within limits",
    Verdict.OUTSIDE: "outside limits",
    Verdict.UNDECIDED: "undecided",
    Verdict.NOT_RECORDED: "not recorded",
    Verdict.NOT_APPLICABLE: "not applicable",
}


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
        return "none at all"
    return f"at most {quantity_text(upper, unit)}" if upper is not None else ""


def plain_sentence(
    check: Check,
    value: float | None,
    limits: Limits,
    verdict: Verdict,
    reason: str | None,
    *,
    area_name: str | None,
) -> str:
    """The homeowner's sentence.

    Args:
        check: what was judged.
        value: what was measured, in the check's unit, or None.
        limits: the limits that applied.
        verdict: the verdict.
        reason: why the check does not apply, or None.
        area_name: the area's name where the job has several, or None.
    """
    where = f"{area_name}: " if area_name else ""
    if verdict is Verdict.NOT_APPLICABLE:
        told = f"{check.plain}: this does not apply here ({(reason or '').rstrip('.')})."
    elif verdict is Verdict.NOT_RECORDED:
        told = f"{check.plain} was not recorded."
    elif value is None:
        told = _plain_answer(check, verdict)
    else:
        told = _plain_value(check, value, limits, verdict)
    return where + told


def _plain_answer(check: Check, verdict: Verdict) -> str:
    sentence = check.plain_good if verdict is Verdict.WITHIN else check.plain_bad
    return sentence or f"{check.plain}: {VERDICT_WORDS[verdict]}."


def _plain_value(check: Check, value: float, limits: Limits, verdict: Verdict) -> str:
    asked = limits_text(limits, check.unit)
    found = f"{check.plain} was {quantity_text(value, check.unit)}"
    if not asked:
        return f"{found}, {VERDICT_WORDS[verdict]}."
    if verdict is Verdict.WITHIN:
        return f"{found}, as it should be ({asked})."
    if verdict is Verdict.UNDECIDED:
        return f"{found}, too close to the limit to say ({asked})."
    return f"{found}; " + (
        "there should be none." if limits.upper == 0 else f"it should be {asked}."
    )


def exact_sentence(
    check: Check,
    sourced: Sourced,
    value: float | None,
    limits: Limits,
    expanded_uncertainty: float | None,
    verdict: Verdict,
    answer: bool | None,
    *,
    remark: str,
) -> str:
    """The expert's sentence: quantity, value, limits with basis and source, verdict, remark."""
    found = _found(check, value, expanded_uncertainty, answer, verdict)
    asked = limits_text(limits, check.unit) or _asked_answer(check)
    basis = _basis(sourced)
    judged = f"limit {asked} ({basis})" if asked else f"({basis})"
    sentence = f"{check.quantity}: {found}; {judged}; {VERDICT_WORDS[verdict]}."
    return f"{sentence} {remark}".rstrip()


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
            spread = quantity_text(expanded_uncertainty, check.unit)
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
