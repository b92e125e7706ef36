"""The bays of the laminate, looked at while they can still be seen through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from qa.assess.finding import Finding
from qa.assess.frame import Frame, LaidArea, grouped
from qa.assess.judging import finding
from qa.assess.stages import is_unsigned
from qa.record.job import Recorded
from qa.record.kinds.readings import Examination
from qa.trade.conformity import Limits, Verdict
from qa.trade.laminate import thickness_mm
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage, WetOut

WET_OUT = "laminate.wet_out"
PINHOLES = "laminate.pinholes"
TRAPPED_AIR = "laminate.trapped_air"
PASSES = "laminate.passes"
THICKNESS = "laminate.thickness"
EXAMINED = "laminate.bays_examined"


def judge_examinations(frame: Frame) -> Iterator[Finding]:
    """The findings on the bays of every area."""
    for key, area in frame.areas.items():
        seen = frame.examinations.at(key)
        bays = grouped(seen, lambda examination: examination.body.bay)
        for series in bays.values():
            yield from _judge_bay(frame, area, series)
        yield from _never_looked_at(frame, key, [examination.body for examination in seen])
        yield _judge_share(frame, key, area, bays)


def _never_looked_at(frame: Frame, area: str, seen: Sequence[Examination]) -> Iterator[Finding]:
    """“Not recorded” for each quality that no examination of the area tells of."""
    told = {
        WET_OUT: bool(seen),
        PINHOLES: bool(seen),
        TRAPPED_AIR: any(body.trapped_air is not None for body in seen),
        PASSES: any(body.passes is not None for body in seen),
    }
    for key, is_told in told.items():
        if not is_told:
            yield finding(frame, key, stage=Stage.LAMINATE, area=area)


def _judge_bay(
    frame: Frame, area: LaidArea, series: Sequence[Recorded[Examination]]
) -> Iterator[Finding]:
    """The state of a bay at its last examination, and every earlier fault that it had.

    An earlier fault is put right where the last examination finds the same quality within limits.
    """
    judged = [{found.check: found for found in judge_examination(frame, area, e)} for e in series]
    last: dict[str, Finding] = {}
    for findings in judged:
        last |= findings
    yield from last.values()
    for findings in judged:
        for key, found in findings.items():
            if found.verdict is Verdict.OUTSIDE and found is not last[key]:
                yield found._replace(put_right=last[key].verdict is Verdict.WITHIN)


def judge_examination(
    frame: Frame, area: LaidArea, examination: Recorded[Examination]
) -> Iterator[Finding]:
    """The findings on one look at one bay of an area."""
    body = examination.body
    on_bay = partial(
        finding, frame, stage=Stage.LAMINATE, area=body.area, bay=body.bay, on=(examination,)
    )
    yield _wet_out(body, partial(on_bay, WET_OUT))
    for key, count in ((PINHOLES, body.pinholes), (TRAPPED_AIR, body.trapped_air)):
        if count is None:
            continue
        yield on_bay(
            key,
            value=count / body.examined_m2,
            expanded_uncertainty=0.0,
            remark=f"{count} found on {quantity_text(body.examined_m2, 'm2')} examined.",
        )
    if body.passes is not None:
        yield on_bay(PASSES, value=float(body.passes), expanded_uncertainty=0.0)
    if body.thickness_mm:
        yield _thickness(frame, area, body, partial(on_bay, THICKNESS))


_LOOKS = {
    WetOut.TRANSPARENT: "The bay is transparent.",
    WetOut.WHITE_PATCHES: "The bay shows white patches.",
    WetOut.DRY: "The bay is dry: the mat was not wetted through.",
}


def _wet_out(body: Examination, make: partial[Finding]) -> Finding:
    looks = _LOOKS[body.wet_out]
    if body.opaque_cm2 is not None:
        if body.wet_out is not WetOut.TRANSPARENT and body.opaque_cm2 == 0:
            return make(value=0.0, verdict=Verdict.OUTSIDE, remark=looks)
        return make(value=body.opaque_cm2, expanded_uncertainty=0.0, remark=looks)
    if body.wet_out is WetOut.TRANSPARENT:
        return make(value=0.0, expanded_uncertainty=0.0, remark=looks)
    return make(answer=False, remark=f"{looks} The size of the opaque area is not recorded.")


def expected_thickness_mm(frame: Frame, area: LaidArea) -> float:
    """Theoretical thickness of an area's laminate, without what the deck takes up, mm."""
    figures = frame.specification.figures
    glass_kg_per_m2 = area.body.mat_g_per_m2 / 1000 * (area.body.layers or 1)
    return thickness_mm(
        glass_kg_per_m2=glass_kg_per_m2,
        resin_kg_per_m2=glass_kg_per_m2 * figures.resin_to_glass.value,
        glass_g_per_cm3=figures.glass_g_per_cm3.value,
        resin_g_per_cm3=figures.cured_resin_g_per_cm3.value,
    )


def _thickness(frame: Frame, area: LaidArea, body: Examination, make: partial[Finding]) -> Finding:
    check = frame.specification.checks[THICKNESS]
    expected = expected_thickness_mm(frame, area)
    gauged = body.thickness_mm or ()
    return make(
        value=min(gauged),
        expanded_uncertainty=frame.known.thickness_mm,
        limits=Limits.about(expected, below_pct=check.below_pct, above_pct=check.above_pct),
        remark=f"Thinnest of {len(gauged)} readings; theory gives "
        f"{quantity_text(round(expected, 3), 'mm')}.",
    )


def _judge_share(
    frame: Frame,
    key: str,
    area: LaidArea,
    bays: Mapping[str, Sequence[Recorded[Examination]]],
) -> Finding:
    """Which share of the bays was examined before the topcoat covered them."""
    topcoat = frame.mixes_of(Stage.TOPCOAT, key)
    covered_at = topcoat[0].at if topcoat else None
    in_time = {
        bay
        for bay, series in bays.items()
        if covered_at is None or any(e.at <= covered_at for e in series)
    }
    make = partial(finding, frame, EXAMINED, stage=Stage.LAMINATE, area=key)
    if not bays:
        return make()
    missing = [bay for bay in area.bays if bay not in in_time]
    share_pct = 100.0 * (len(area.bays) - len(missing)) / len(area.bays)
    beyond = sorted(bay for bay in bays if bay not in area.bays)
    remark = f"{len(area.bays) - len(missing)} of {len(area.bays)} bays."
    if missing:
        remark += f" Not examined before cover: {', '.join(missing)}."
    if beyond:
        remark += f" Not on the bay plan: {', '.join(beyond)}."
    if missing and covered_at is None and is_unsigned(frame.job, Stage.LAMINATE):
        return make(remark=remark.replace("before cover", "yet"))
    first = [series[0] for bay, series in bays.items() if bay in in_time]
    return make(value=share_pct, expanded_uncertainty=0.0, on=first, remark=remark)
