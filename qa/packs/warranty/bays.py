"""The bays: how each stands on the plan, and every examination before and after repair."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.finding import Finding
from qa.assess.frame import grouped, when
from qa.packs.drawing.bay_marks import BayMark
from qa.packs.drawing.bay_plan import BayPlan, BayPlanArea, MarkedBay, draw_bay_plan
from qa.packs.source import PackSource
from qa.packs.verdicts import Said, is_apart
from qa.packs.warranty.citing import Citing, area_label
from qa.packs.warranty.families import Family, said_of_set, sets_of
from qa.packs.warranty.found import NOTHING
from qa.record.job import Recorded
from qa.record.kinds.readings import Examination
from qa.trade.conformity import Verdict
from qa.trade.notation import number_text
from qa.trade.vocabulary import Stage

_PLAN_MM = 150.0

ByBay = Mapping[tuple[str | None, str | None], Sequence[Finding]]
"""The findings of each bay, by area and bay."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExaminationRow:
    """One look at one bay; the heads of the table name the units.

    Attributes:
        repair: "after repair", or nothing.
        findings: how many findings its verdict tells; none where it was looked at again later.
    """

    bay: str
    cited: str
    looks: str
    opaque_cm2: str
    pinholes: str
    trapped_air: str
    examined_m2: str
    passes: str
    thickness_mm: str
    repair: str
    verdict: Said
    apart: bool
    findings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BayArea:
    """The examinations of one area, in order of time."""

    key: str
    name: str
    count: int
    rows: tuple[ExaminationRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bays:
    """What the chapter shows.

    Attributes:
        plan: the bays of all areas at one scale.
        undecided: the bays with a value that could not be decided.
    """

    plan: Markup
    undecided: tuple[str, ...]
    areas: tuple[BayArea, ...]


def bays(source: PackSource, citing: Citing) -> Bays:
    """The bays of every area."""
    sets = sets_of(source.assessment.findings, Family.BAY)
    looked = grouped(sorted(source.job.examinations, key=when), lambda e: e.body.area)
    laminate = source.assessment.of_stage(Stage.LAMINATE)
    of_bay = grouped((f for f in laminate if f.bay), lambda found: (found.area, found.bay))
    return Bays(
        plan=_plan(source, of_bay),
        undecided=tuple(_undecided(source, of_bay)),
        areas=tuple(
            BayArea(
                key=f"bays-{key}",
                name=area.body.name,
                count=len(area.bays),
                rows=tuple(_rows(citing, looked.get(key, []), sets)),
            )
            for key, area in source.frame.areas.items()
        ),
    )


def _plan(source: PackSource, of_bay: ByBay) -> Markup:
    examined = {(e.body.area, e.body.bay) for e in source.job.examinations}
    areas = tuple(
        BayPlanArea(
            name=area.body.name,
            roof=area.roof,
            bays=tuple(
                MarkedBay(
                    bay=bay,
                    mark=bay_mark(of_bay.get((key, name), ()), is_examined=(key, name) in examined),
                )
                for name, bay in area.bays.items()
            ),
        )
        for key, area in source.frame.areas.items()
    )
    return draw_bay_plan(BayPlan(areas=areas, height_mm=_PLAN_MM))


def _undecided(source: PackSource, of_bay: ByBay) -> Iterator[str]:
    for (area, bay), findings in of_bay.items():
        if any(found.verdict is Verdict.UNDECIDED for found in findings):
            yield f"{area_label(source, area)} {bay}"


def bay_mark(findings: Sequence[Finding], *, is_examined: bool) -> BayMark:
    """How a bay stands on the plan: by the worst of its findings.

    Args:
        findings: all findings of the bay in the laminate.
        is_examined: whether any examination of it is recorded.
    """
    if any(found.is_open for found in findings):
        return BayMark.OPEN
    if any(found.conceded for found in findings):
        return BayMark.CONCEDED
    if any(found.put_right for found in findings):
        return BayMark.PUT_RIGHT
    return BayMark.CLEAR if is_examined else BayMark.NOT_EXAMINED


def _rows(
    citing: Citing,
    examinations: Sequence[Recorded[Examination]],
    sets: Mapping[tuple[object, ...], Sequence[Finding]],
) -> Iterator[ExaminationRow]:
    last = {examination.body.bay: examination for examination in examinations}
    for examination in examinations:
        body = examination.body
        findings = sets.get((body.area, body.bay, examination.id), ())
        again = citing.recorded(last[body.bay]).number
        superseded = Said(mark="not-applicable", word="looked at again", rest=f", no. {again}")
        yield ExaminationRow(
            bay=body.bay,
            cited=citing.recorded(examination).text,
            looks=body.wet_out.replace("_", " "),
            opaque_cm2=_text(body.opaque_cm2),
            pinholes=str(body.pinholes),
            trapped_air=_text(body.trapped_air),
            examined_m2=number_text(body.examined_m2),
            passes=_text(body.passes),
            thickness_mm=" ".join(map(number_text, body.thickness_mm or ())) or NOTHING,
            repair="after repair" if body.after_repair else "",
            verdict=said_of_set(findings) if findings else superseded,
            apart=is_apart(findings),
            findings=len(findings),
        )


def _text(value: float | None) -> str:
    return NOTHING if value is None else number_text(value)
