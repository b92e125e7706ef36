"""What does not fit between a check as a firm wrote it and what the assessment needs of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from qa.specification.known_checks import KnownCheck, LimitKind
from qa.specification.model import Check, Form, Per
from qa.trade.conformity import Limits
from qa.trade.vocabulary import Stage

Misfit = tuple[str, str]
"""A key of the check and what is wrong with it."""

_ANSWERED_PER = (Per.JOB, Per.AREA, Per.EDGE, Per.BAY)
"""What a measurement or an observation can name."""


def misfits(check: Check, known: KnownCheck, stages: tuple[Stage, ...] | None) -> Iterator[Misfit]:
    """Yield everything about `check` that the assessment could not follow.

    Args:
        check: the check as the file gives it.
        known: what the assessment takes for granted of it.
        stages: the stages under which the assessment judges it, or None where they are not known.
    """
    if stages is not None and set(check.stages) != set(stages):
        yield "stages", f"this check is judged under {_listed(stages)}; name just that in stages."
    yield from _form_misfits(check, known)
    has_number = known.unit is not None and check.form is not Form.OBSERVED
    yield from _number_misfits(check, known.unit if has_number else None)
    yield from _limit_misfits(check, known.limit_kind if has_number else None)
    yield from _answer_misfits(check, known.unit is None or _is_observed(check.form))


def _is_observed(form: Form) -> bool:
    return form in (Form.OBSERVED, Form.EITHER)


def _form_misfits(check: Check, known: KnownCheck) -> Iterator[Misfit]:
    if known.computed_per is not None:
        if check.form is not Form.COMPUTED:
            yield "form", f'form is "{check.form}"; the assessment computes it: write "computed".'
        if check.per is not known.computed_per:
            yield "per", f'per is "{check.per}"; it is computed per "{known.computed_per}".'
        return
    allowed = (
        (Form.OBSERVED,) if known.unit is None else (Form.MEASURED, Form.OBSERVED, Form.EITHER)
    )
    if check.form not in allowed:
        yield "form", f'form is "{check.form}"; this check is {_listed(allowed, "or")}.'
    if check.per not in _ANSWERED_PER:
        yield "per", f'per is "{check.per}"; it must be one of {_listed(_ANSWERED_PER, "or")}.'


def _number_misfits(check: Check, unit: str | None) -> Iterator[Misfit]:
    if check.unit == unit:
        return
    if check.unit is None:
        yield "unit", f'unit is missing; write unit = "{unit}".'
    elif unit is None:
        yield "unit", f'unit is "{check.unit}"; this check is yes or no: remove unit.'
    else:
        yield "unit", f'unit is "{check.unit}"; this check is judged in "{unit}".'


def _limit_misfits(check: Check, kind: LimitKind | None) -> Iterator[Misfit]:
    has_limits = check.limits != Limits()
    has_tolerance = check.below_pct is not None or check.above_pct is not None
    if kind is LimitKind.OWN and not has_limits:
        yield "upper", "lower and upper are both missing; write one or both."
    if kind is LimitKind.TOLERANCE and not has_tolerance:
        yield "below_pct", "below_pct and above_pct are both missing; write one or both."
    if has_limits and kind not in (LimitKind.OWN, LimitKind.OPTIONAL):
        yield "upper", f"{_why_no_limits(kind)}: remove lower and upper."
    if has_tolerance and kind is not LimitKind.TOLERANCE:
        yield "below_pct", "nothing is expected in percent here: remove below_pct and above_pct."


def _why_no_limits(kind: LimitKind | None) -> str:
    if kind is LimitKind.TOLERANCE:
        return "this check is judged by below_pct and above_pct"
    if kind is LimitKind.ELSEWHERE:
        return "the limits of this check stand in a chart or another figure of this file"
    return "this check is yes or no"


def _answer_misfits(check: Check, is_yes_or_no: bool) -> Iterator[Misfit]:
    answers = {
        "expects": check.expects,
        "plain_good": check.plain_good,
        "plain_bad": check.plain_bad,
    }
    for key, answer in answers.items():
        if is_yes_or_no and answer is None:
            yield key, f"{key} is missing; a check that is answered yes or no needs it."
        if not is_yes_or_no and answer is not None:
            yield key, f"{key} has no meaning here, for nobody answers yes or no: remove it."


def _listed(words: Iterable[str], joint: str = "and") -> str:
    *rest, last = words
    return f"{', '.join(rest)} {joint} {last}" if rest else last
