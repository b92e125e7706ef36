"""What an assessment answers: findings, the outcome of each stage, and both as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, NamedTuple

from qa.assess.wording import Telling, exact_sentence, plain_sentence
from qa.specification.model import Basis
from qa.trade.conformity import Limits, Verdict
from qa.trade.vocabulary import Stage


class StageStatus(StrEnum):
    """How a stage stands, from its findings."""

    WITHIN = "within"
    """Everything that was asked is recorded and inside its limits."""
    OUTSIDE = "outside"
    """At least one finding is outside its limits and neither put right nor conceded."""
    PUT_RIGHT = "put_right"
    """Findings were outside; all were reworked and checked again."""
    CONCEDED = "conceded"
    """Findings were outside; a supervisor accepted at least one of them in writing."""
    INCOMPLETE = "incomplete"
    """Nothing is left outside, but something was not recorded or could not be decided."""


class Finding(NamedTuple):
    """One judged fact.

    A named tuple, unlike the other values: a long record makes tens of thousands of them, and a
    frozen dataclass takes several times as long to make.

    Attributes:
        stage: the stage of the entry that was judged.
        area, bay: where, or None.
        subject: what was judged where there are several: a mix's, lot's or edge's key, or an
            entry's id; None where there is only one.
        value: what was found, in `unit`; None for an observation or where nothing was recorded.
        expanded_uncertainty: of the value, k = 2, in `unit`, or None where it is not known.
        limits: the limits that applied, in `unit`.
        put_right: outside, then reworked and checked again.
        conceded: outside, and accepted in writing by a supervisor.
        entries: ids of the entries that it rests on.
        photos: files of the photos that show it.
        telling: what its sentences are made from besides.
    """

    stage: Stage
    area: str | None
    bay: str | None
    subject: str | None
    value: float | None
    expanded_uncertainty: float | None
    limits: Limits
    verdict: Verdict
    entries: tuple[str, ...]
    photos: tuple[str, ...]
    telling: Telling
    put_right: bool = False
    conceded: bool = False

    @property
    def check(self) -> str:
        """The check's key: "mix.dose"."""
        return self.telling.check.key

    @property
    def unit(self) -> str | None:
        """The unit of value and limits, or None for an observation."""
        return self.telling.check.unit

    @property
    def lower(self) -> float | None:
        """The least accepted value, or None."""
        return self.limits.lower

    @property
    def upper(self) -> float | None:
        """The greatest accepted value, or None."""
        return self.limits.upper

    @property
    def basis(self) -> Basis:
        """Where the limits that applied come from."""
        return self.telling.sourced.basis

    @property
    def source(self) -> str:
        """The sentence that names their source."""
        return self.telling.sourced.source

    @property
    def plain(self) -> str:
        """One sentence for the homeowner; a second one says what was done."""
        told = plain_sentence(self.telling, self.value, self.limits, self.verdict)
        if self.put_right:
            return f"{told} It was put right and checked again."
        return f"{told} The supervisor accepted it in writing." if self.conceded else told

    @property
    def exact(self) -> str:
        """One sentence for the expert, and the remarks that belong to it."""
        return exact_sentence(
            self.telling, self.value, self.expanded_uncertainty, self.limits, self.verdict
        )

    @property
    def is_open(self) -> bool:
        """Whether it is outside its limits and nothing was done about it yet."""
        return self.verdict is Verdict.OUTSIDE and not self.put_right and not self.conceded


@dataclass(frozen=True, slots=True, kw_only=True)
class StageOutcome:
    """How one stage stands."""

    stage: Stage
    status: StageStatus
    released: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """A job judged by a specification.

    Attributes:
        job: the firm's reference of the job.
        specification: "general-grp/1".
        specification_sha256: digest of the specification's file.
        entries: how many entries the record holds.
        head: hash of the record's last entry.
        stages: one outcome for each stage, in the order of the work.
        findings: by stage, check, area, bay and subject; the bay by row and number.
    """

    job: str
    specification: str
    specification_sha256: str
    entries: int
    head: str
    stages: tuple[StageOutcome, ...]
    findings: tuple[Finding, ...]

    def of_stage(self, stage: Stage) -> tuple[Finding, ...]:
        """The findings of one stage."""
        return tuple(finding for finding in self.findings if finding.stage is stage)


def assessment_json(assessment: Assessment) -> dict[str, Any]:
    """An assessment as the JSON object of the open format."""
    return {
        "job": assessment.job,
        "specification": assessment.specification,
        "specification_sha256": assessment.specification_sha256,
        "record": {"entries": assessment.entries, "head": assessment.head},
        "stages": [
            {"stage": outcome.stage, "status": outcome.status, "released": outcome.released}
            for outcome in assessment.stages
        ],
        "findings": [finding_json(finding) for finding in assessment.findings],
    }


def assessment_text(assessment: Assessment) -> str:
    """An assessment as JSON text, a line for each stage and finding, the same bytes every time."""
    whole = assessment_json(assessment)
    parts = [
        f"{_json(name)}: {_json_lines(value) if isinstance(value, list) else _json(value)}"
        for name, value in whole.items()
    ]
    return "{" + ",\n ".join(parts) + "}\n"


_json = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode


def _json_lines(values: list[Any]) -> str:
    return "[\n  " + ",\n  ".join(map(_json, values)) + "]" if values else "[]"


_FIELDS = (
    "check",
    "stage",
    "area",
    "bay",
    "subject",
    "value",
    "unit",
    "expanded_uncertainty",
    "lower",
    "upper",
    "verdict",
    "put_right",
    "conceded",
    "basis",
    "source",
    "entries",
    "photos",
    "plain",
    "exact",
)
"""The fields of a finding in the open format, in its order."""


def finding_json(finding: Finding) -> Mapping[str, Any]:
    """A finding as the JSON object of the open format."""
    return {name: getattr(finding, name) for name in _FIELDS}
