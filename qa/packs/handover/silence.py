"""What was not recorded, stage by stage: a long silence is summed up, never hidden."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from qa.assess.finding import Finding
from qa.assess.frame import grouped
from qa.packs.handover import plain_words as plain
from qa.packs.source import PackSource
from qa.specification.model import Check, Per
from qa.trade.conformity import Verdict

_COUNTED = {
    Per.MIX: ("mix", "mixes"),
    Per.EDGE: ("edge", "edges"),
    Per.BAY: ("square", "squares"),
    Per.ENTRY: ("time", "times"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SilentStage:
    """What nobody wrote down of one stage.

    Attributes:
        title: the stage's name.
        count: how many findings say so.
        is_whole: whether nothing at all of the stage was recorded.
        subjects: what they are about, each once, as one sentence.
    """

    title: str
    count: int
    is_whole: bool
    subjects: str


def silent_stages(source: PackSource) -> tuple[SilentStage, ...]:
    """The stages of which something was not recorded, in the order of the work."""
    silent = []
    for rule in source.specification.stages:
        findings = source.assessment.of_stage(rule.stage)
        missing = [found for found in findings if found.verdict is Verdict.NOT_RECORDED]
        if missing:
            stage = SilentStage(
                title=rule.title,
                count=len(missing),
                is_whole=not any(found.entries for found in findings),
                subjects=f"{plain.sentence_case('; '.join(_subjects(source, missing)))}.",
            )
            silent.append(stage)
    return tuple(silent)


def _subjects(source: PackSource, missing: Sequence[Finding]) -> Iterator[str]:
    for key, findings in grouped(missing, lambda found: found.check).items():
        check = source.specification.checks[key]
        yield f"{plain.uncapitalised(check.plain)}{_where(source, check, findings)}"


def _where(source: PackSource, check: Check, findings: Sequence[Finding]) -> str:
    """On which areas, and of how many mixes, edges or squares, where that is more than one."""
    frame = source.frame
    areas = Counter(found.area for found in findings if found.area is not None)
    named = [str(frame.area_name(area)) for area in areas]
    told = []
    if len(frame.areas) > 1 and 0 < len(named) < len(frame.areas):
        told.append(plain.listed(named))
    if check.per in _COUNTED and len(findings) > 1:
        told.append(plain.counted(len(findings), *_COUNTED[check.per]))
    return f" ({', '.join(told)})" if told else ""
