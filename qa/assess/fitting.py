"""Whether a record speaks of checks that the specification knows, in the units of their limits."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from qa.errors import Problem, RecordError
from qa.record.entry import Entry
from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.parties import Opening
from qa.record.kinds.readings import Measurement, Observation, Result
from qa.record.registry import Kind
from qa.record.schema import Body
from qa.specification.model import Form, Specification

_MEASURED_TOO = {"laminate.crew", "laminate.first_mix_area", "completion.dry_hours"}
"""Checks that the assessment reckons where nobody measured them."""
_OBSERVED_TOO = {"conditions.dry"}
PERIMETER_UNIT = {"trims.perimeter_complete": "m"}
"""The one observed check beside which metres may be measured."""


def require_fitting(job: Job, specification: Specification) -> None:
    """Refuses a job that the specification cannot judge.

    Raises:
        RecordError: the job pins another specification, or names a check that is unknown, not
            answered in that way, or answered in another unit; every fault is listed.
    """
    _refuse([*_pinning(job, specification), *_misfits(job, specification)])


def require_fitting_checks(job: Job, specification: Specification) -> None:
    """Refuses a job whose checks the specification cannot judge, whichever it pins.

    Raises:
        RecordError: it names a check that is unknown, not answered in that way, or answered in
            another unit; every fault is listed.
    """
    _refuse([*_misfits(job, specification)])


def _refuse(problems: list[Problem]) -> None:
    if problems:
        raise RecordError(tuple(problems))


def _misfits(job: Job, specification: Specification) -> Iterator[Problem]:
    entries: tuple[Recorded[Measurement] | Recorded[Observation] | Recorded[Photo], ...] = (
        *job.measurements,
        *job.observations,
        *job.photos,
    )
    for recorded in entries:
        for field, sentence in _faults(recorded.body, specification):
            yield _problem(recorded, f"{recorded.entry.kind}.{field}", sentence)


def require_fitting_entry(entry: Entry, specification: Specification) -> None:
    """Refuses one more entry of a job that the specification could not judge.

    Raises:
        RecordError: as `require_fitting`; also for a correction that would pin another one.
    """
    is_correction = entry.kind is Kind.CORRECTION
    body = entry.new_body if is_correction else entry.body
    prefix = "correction.body" if is_correction else str(entry.kind)
    faults: Iterable[tuple[str, str]] = ()
    if isinstance(body, Measurement | Observation | Photo):
        faults = _faults(body, specification)
    elif isinstance(body, Opening) and body.specification != specification.name:
        sentence = f"is “{body.specification}”; a job keeps {specification.name}, which it pinned"
        faults = [("specification", sentence)]
    problems = tuple(
        Problem(
            place="entry",
            sentence=f"{prefix}.{field} {sentence}{'' if sentence.endswith('?') else '.'}",
            field=f"{prefix}.{field}",
        )
        for field, sentence in faults
    )
    if problems:
        raise RecordError(problems)


def _pinning(job: Job, specification: Specification) -> Iterator[Problem]:
    pinned = job.opening.body.specification
    if pinned != specification.name:
        yield _problem(
            job.opening,
            "job.specification",
            f"is “{pinned}” but the specification given is “{specification.name}”; a job is judged "
            "by the one that it pins, so give that one",
        )


def _faults(
    body: Measurement | Observation | Photo, specification: Specification
) -> Iterator[tuple[str, str]]:
    if body.check is None:
        return
    check = specification.checks.get(body.check)
    if check is None:
        near = difflib.get_close_matches(body.check, specification.checks, n=1)
        hint = f"did you mean {near[0]}?" if near else "look it up in the specification"
        yield "check", f"is “{body.check}”, which {specification.name} does not know; {hint}"
    elif isinstance(body, Measurement):
        unit = PERIMETER_UNIT.get(body.check, check.unit)
        if check.form not in (Form.MEASURED, Form.EITHER) and (
            body.check not in _MEASURED_TOO | PERIMETER_UNIT.keys()
        ):
            yield "check", f"is {body.check}, which is not measured{_how(check.form)}"
        elif body.unit != unit:
            yield (
                "unit",
                f"is “{body.unit}” but the limit of {body.check} is in “{unit}”; convert it",
            )
    elif isinstance(body, Observation) and not _may_be_observed(body, check.form):
        yield "check", f"is {body.check}, which is not answered by yes or no{_how(check.form)}"


def _may_be_observed(body: Observation, form: Form) -> bool:
    """Whether yes or no answers the check; that it does not apply may be said of any."""
    return (
        form in (Form.OBSERVED, Form.EITHER)
        or body.check in _OBSERVED_TOO | PERIMETER_UNIT.keys()
        or body.result is Result.NOT_APPLICABLE
    )


def _how(form: Form) -> str:
    return {
        Form.MEASURED: "; record a measurement",
        Form.OBSERVED: "; record an observation",
        Form.COMPUTED: "; it is reckoned from other entries",
        Form.EITHER: "",
    }[form]


def _problem(recorded: Recorded[Body], field: str, sentence: str) -> Problem:
    line = recorded.entry.line
    place = f"record.jsonl, line {line}" if line else f"entry {recorded.id}"
    stop = "" if sentence.endswith("?") else "."
    return Problem(place=place, sentence=f"{field} {sentence}{stop}", line=line, field=field)
