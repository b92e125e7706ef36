"""The summary of findings: first in the file, before the contents, so that nobody can miss it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.packs.source import PackSource
from qa.packs.verdicts import STATUS_WORDS, Said, Standing, said, standing_of, status_text
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.found import place_text
from qa.packs.warranty.remedies import Remedies

COUNTED = (
    Standing.WITHIN,
    Standing.OUTSIDE,
    Standing.UNDECIDED,
    Standing.CONCEDED,
    Standing.PUT_RIGHT,
    Standing.NOT_RECORDED,
    Standing.NOT_APPLICABLE,
)
"""The columns of the table of stages, in the order of the page."""

_GROUPS: Mapping[Standing, tuple[str, str]] = {
    Standing.OUTSIDE: ("outside", "Outside limits and open"),
    Standing.UNDECIDED: ("undecided", "Undecided"),
    Standing.CONCEDED: ("conceded", "Outside limits, conceded in writing"),
    Standing.PUT_RIGHT: ("put-right", "Outside limits at first, then put right"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRow:
    """One stage in the table: status and release in words, and its findings counted."""

    stage: str
    status: Said
    released: str
    total: int
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldFinding:
    """A finding that is not simply within: where, the expert's sentence, what was done about it."""

    place: str
    verdict: Said
    exact: str
    done: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The findings of one standing, under a heading of their own."""

    key: str
    title: str
    findings: tuple[ToldFinding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """What a stage did not record: check by check, each with its places."""

    stage: str
    count: int
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Summary:
    """What the chapter shows.

    Attributes:
        standfirst: the result in one sentence, the numbers first.
        heads: heads of the counted columns.
        totals: the sums of all stages, the number of findings first.
        missing_total: how many findings are “not recorded”.
    """

    standfirst: str
    heads: tuple[str, ...]
    stages: tuple[StageRow, ...]
    totals: tuple[int, ...]
    groups: tuple[Group, ...]
    missing: tuple[Missing, ...]
    missing_total: int


def summary(source: PackSource, citing: Citing) -> Summary:
    """The summary of a job's findings."""
    findings = source.assessment.findings
    counts = Counter(map(standing_of, findings))
    return Summary(
        standfirst=_standfirst(len(findings), counts),
        heads=tuple(standing.word for standing in COUNTED),
        stages=tuple(_stage_rows(source)),
        totals=(len(findings), *(counts[standing] for standing in COUNTED)),
        groups=tuple(_groups(source, citing)),
        missing=tuple(_missing(source, citing)),
        missing_total=counts[Standing.NOT_RECORDED],
    )


def _standfirst(total: int, counts: Counter[Standing]) -> str:
    numbers = (
        f"{total} findings: {counts[Standing.WITHIN]} within limits, "
        f"{counts[Standing.OUTSIDE]} outside and open, {counts[Standing.CONCEDED]} conceded, "
        f"{counts[Standing.PUT_RIGHT]} put right, {counts[Standing.UNDECIDED]} undecided, "
        f"{counts[Standing.NOT_RECORDED]} not recorded."
    )
    if counts[Standing.NOT_APPLICABLE]:
        numbers = f"{numbers[:-1]}, {counts[Standing.NOT_APPLICABLE]} not applicable."
    return numbers


def _stage_rows(source: PackSource) -> Iterator[StageRow]:
    for outcome in source.assessment.stages:
        rule = source.specification.stage_rule(outcome.stage)
        findings = source.assessment.of_stage(outcome.stage)
        counts = Counter(map(standing_of, findings))
        word = STATUS_WORDS[outcome.status]
        told = status_text(outcome.status, findings)
        mark = "not-recorded" if outcome.status == "incomplete" else outcome.status
        released = "yes" if outcome.released else "no"
        yield StageRow(
            stage=rule.title,
            status=Said(mark=mark.replace("_", "-"), word=word, rest=told.removeprefix(word)),
            released=released if rule.hold_point or outcome.released else "not asked",
            total=len(findings),
            counts=tuple(counts[standing] for standing in COUNTED),
        )


def _groups(source: PackSource, citing: Citing) -> Iterator[Group]:
    remedies = Remedies(source, citing)
    by_standing = grouped(source.assessment.findings, standing_of)
    for standing, (key, title) in _GROUPS.items():
        of_standing = by_standing.get(standing, [])
        if of_standing or standing is Standing.OUTSIDE:
            told = tuple(_told(source, citing, remedies, found) for found in of_standing)
            yield Group(key=f"summary-{key}", title=title, findings=told)


def _told(source: PackSource, citing: Citing, remedies: Remedies, found: Finding) -> ToldFinding:
    title = source.specification.stage_rule(found.stage).title
    place = place_text(source, citing, found)
    return ToldFinding(
        place=f"{title}, {place}" if place else title,
        verdict=said(found),
        exact=found.exact,
        done=remedies.told(found),
    )


def _missing(source: PackSource, citing: Citing) -> Iterator[Missing]:
    absent = [f for f in source.assessment.findings if standing_of(f) is Standing.NOT_RECORDED]
    for stage, of_stage in grouped(absent, lambda found: found.stage).items():
        by_check = grouped(of_stage, lambda found: found.check)
        yield Missing(
            stage=source.specification.stage_rule(stage).title,
            count=len(of_stage),
            checks=tuple(
                _missing_check(source, citing, check, of_check)
                for check, of_check in by_check.items()
            ),
        )


def _missing_check(
    source: PackSource, citing: Citing, check: str, findings: Sequence[Finding]
) -> str:
    """One check that has no answer: "stirring after dosing, 2 (Main roof, mix-1; mix-4)"."""
    quantity = source.specification.checks[check].quantity
    places = [place for found in findings if (place := place_text(source, citing, found))]
    number = f", {len(findings)}" if len(findings) > 1 else ""
    return f"{quantity}{number} ({'; '.join(places)})" if places else f"{quantity}{number}"
