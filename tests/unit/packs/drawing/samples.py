"""Drawings that tests share, of an invented roof; run as a module it renews the golden files.

python -m tests.unit.packs.drawing.samples
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from markupsafe import Markup

from qa.packs.drawing import (
    BayMark,
    BayPlan,
    BayPlanArea,
    ConditionsChart,
    ConsumptionChart,
    ConsumptionRow,
    ConsumptionSection,
    DosedMix,
    DosePanel,
    DosePlot,
    Fall,
    FallsPlan,
    FallsPlanArea,
    InterruptionSpan,
    MarkedBay,
    MixTick,
    PlanArea,
    PlanUpstand,
    Reading,
    RoofPlan,
    StageLine,
    StageStep,
    StepMark,
    draw_bay_plan,
    draw_conditions_chart,
    draw_consumption_chart,
    draw_dose_plot,
    draw_falls_plan,
    draw_roof_plan,
    draw_stage_line,
)
from qa.trade.bays import lay_out_bays
from qa.trade.catalyst import DoseChart, DoseRow
from qa.trade.contours import contours
from qa.trade.edge_matching import PlanEdge
from qa.trade.level_study import study_levels
from qa.trade.outline import Outline, RoofArea
from qa.trade.strips import strip_angle_deg
from qa.trade.survey import Level
from qa.trade.vocabulary import EdgeKind
from qa.trade.ways_out import ways_out
from qa.trade.wet_area import wet_pieces

GOLDEN = Path(__file__).parents[3] / "golden" / "drawing"
ZONE = ZoneInfo("Europe/London")


def outline(*points: tuple[float, float]) -> Outline:
    return Outline(points_m=points)


def rectangle(length: float, height: float, x: float = 0.0, y: float = 0.0) -> Outline:
    return outline((x, y), (x + length, y), (x + length, y + height), (x, y + height))


def edge(key: str, kind: EdgeKind, length_m: float) -> PlanEdge:
    return PlanEdge(key=key, kind=kind, length_m=length_m)


L_SHAPE = RoofArea(
    outline=outline((0, 0), (6, 0), (6, 2.4), (3.6, 2.4), (3.6, 5.2), (0, 5.2)),
    openings=(rectangle(1.0, 1.2, 1.2, 2.6),),
)
MAIN = PlanArea(
    name="Main roof",
    roof=L_SHAPE,
    edges=(
        edge("front", EdgeKind.DRIP_EDGE, 6.0),
        edge("side", EdgeKind.RAISED_EDGE, 2.4),
        edge("notch", EdgeKind.FLASHING, 2.4),
        edge("inner", EdgeKind.WALL_FILLET, 2.8),
        edge("back", EdgeKind.WALL_FILLET, 3.6),
        edge("west", EdgeKind.RAISED_EDGE, 5.2),
    ),
    outlets_m=((5.6, 0.35),),
    opening_names=("rooflight",),
    upstands=(PlanUpstand(length_m=4.4, height_m=0.15),),
    fall=Fall(direction_deg=270.0, mm_per_m=16.7),
)
PORCH = PlanArea(
    name="Porch",
    roof=RoofArea(outline=rectangle(2.6, 1.4)),
    edges=(
        edge("a", EdgeKind.RAISED_EDGE, 1.4),
        edge("b", EdgeKind.RAISED_EDGE, 1.4),
        edge("c", EdgeKind.WALL_FILLET, 2.6),
    ),
)


DISHED: tuple[Level, ...] = (
    *((x, 0.0, 0.0) for x in (0.0, 2.0, 4.0, 6.0)),
    *((x, 1.2, z) for x, z in ((0.0, 0.021), (2.0, 0.02), (4.0, -0.012), (6.0, 0.02))),
    *((x, 2.4, z) for x, z in ((0.0, 0.04), (2.0, 0.041), (3.6, 0.04), (6.0, 0.039))),
    *((x, 5.2, z) for x, z in ((0.0, 0.087), (2.0, 0.086), (3.6, 0.087))),
)
"""Falls 1:60 to the front, with a dish of 12 mm before it."""


def falls_area(area: PlanArea, levels: tuple[Level, ...], step_mm: float = 10.0) -> FallsPlanArea:
    ways = ways_out(area.roof.outline, area.edges, area.outlets_m)
    study = study_levels(levels, area.roof, ways)
    assert study.flood is not None
    assert study.plane.direction_deg is not None
    return FallsPlanArea(
        name=area.name,
        roof=area.roof,
        edges=area.edges,
        outlets_m=area.outlets_m,
        surveyed_m=tuple((x, y) for x, y, _ in levels),
        contours=contours(study.surface, step_mm),
        step_mm=step_mm,
        hollows=study.flood.hollows,
        pools_m=wet_pieces(study.surface, study.flood.water_m),
        fall=Fall(direction_deg=study.plane.direction_deg, mm_per_m=study.plane.fall_mm_per_m),
    )


def bay_area(name: str, roof: RoofArea, marks: Mapping[str, BayMark]) -> BayPlanArea:
    bays = lay_out_bays(
        roof,
        mat_width_m=1.0,
        mat_overlap_m=0.05,
        bay_length_m=1.0,
        angle_deg=strip_angle_deg(roof.outline),
    )
    marked = (MarkedBay(bay=bay, mark=marks.get(bay.key, BayMark.CLEAR)) for bay in bays)
    return BayPlanArea(name=name, roof=roof, bays=tuple(marked))


TURNED = RoofArea(
    outline=outline((0, 0), (5.2, 3.0), (3.7, 5.6), (0.6, 3.81), (1.1, 2.94), (-1.0, 1.73)),
    openings=(outline((2.6, 2.6), (3.3, 3.0), (2.9, 3.7), (2.2, 3.3)),),
)
"""Its longest edge rises by 30 degrees."""

BAY_MARKS = {
    "r2b3": BayMark.PUT_RIGHT,
    "r4b2": BayMark.CONCEDED,
    "r5b1": BayMark.OPEN,
    "r1b6": BayMark.NOT_EXAMINED,
}


def row(
    from_c: float, to_c: float, target: float, lower: float, upper: float, *, last: bool = False
) -> DoseRow:
    return DoseRow(
        from_c=from_c,
        to_c=to_c,
        includes_to=last,
        target_ml_per_kg=target,
        lower_ml_per_kg=lower,
        upper_ml_per_kg=upper,
    )


CHART = DoseChart(
    rows=(
        row(5, 13, 40, 34, 40),
        row(13, 16, 30, 25.5, 34.5),
        row(16, 20, 20, 17, 23),
        row(20, 35, 10, 10, 11.5, last=True),
    )
)


def mix(key: str, deck_c: float, dose: float, *, is_outside: bool = False) -> DosedMix:
    return DosedMix(key=key, deck_c=deck_c, dose_ml_per_kg=dose, is_outside=is_outside)


MIXES = (
    mix("mix-1", 11.5, 38.0),
    mix("mix-2", 12.4, 37.5),
    mix("mix-3", 14.1, 30.0),
    mix("mix-4", 15.2, 24.0, is_outside=True),
    mix("mix-5", 16.5, 20.2),
)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 5, day, hour, minute, tzinfo=ZONE)


def reading(when: datetime, deck_c: float, air_c: float, dew_point_c: float) -> Reading:
    return Reading(at=when, deck_c=deck_c, air_c=air_c, dew_point_c=dew_point_c)


def conditions(
    *,
    readings: tuple[Reading, ...] = (),
    mixes: tuple[MixTick, ...] = (),
    interruptions: tuple[InterruptionSpan, ...] = (),
    zone: ZoneInfo = ZONE,
) -> ConditionsChart:
    return ConditionsChart(
        readings=readings,
        mixes=mixes,
        interruptions=interruptions,
        zone=zone,
        dew_margin_limit_k=3.0,
        longest_gap_h=2.0,
    )


CONDITIONS = conditions(
    readings=(
        reading(at(12, 8, 10), 10.5, 11.2, 7.0),
        reading(at(12, 9, 40), 12.4, 13.0, 7.4),
        reading(at(12, 11, 20), 15.0, 15.1, 8.1),
        reading(at(12, 13, 5), 14.0, 14.2, 11.4),
        reading(at(12, 14, 55), 14.5, 15.0, 9.5),
        reading(at(13, 8), 11.0, 12.0, 6.0),
        reading(at(13, 13, 30), 19.5, 18.0, 7.0),
    ),
    mixes=(
        MixTick(at=at(12, 8, 30), key="mix-1"),
        MixTick(at=at(12, 9, 45), key="mix-2"),
        MixTick(at=at(13, 8, 20), key="mix-3"),
    ),
    interruptions=(
        InterruptionSpan(start=at(12, 12, 10), end=at(12, 14, 40), label="rain, covered"),
    ),
)


def consumption_row(
    name: str, kg_per_m2: float | None, verdict: str, *, is_outside: bool = False
) -> ConsumptionRow:
    return ConsumptionRow(
        name=name,
        kg_per_m2=kg_per_m2,
        expected_kg_per_m2=1.5,
        lower_kg_per_m2=1.35,
        upper_kg_per_m2=1.8,
        verdict=verdict,
        is_outside=is_outside,
        is_part=name.startswith("r"),
        expanded_uncertainty=0.06,
    )


CONSUMPTION = ConsumptionChart(
    sections=(
        ConsumptionSection(
            title="Resin in the laminate",
            rows=(
                consumption_row("Main roof", 1.56, "within"),
                consumption_row("r1b1–r1b6", 1.62, "within"),
                consumption_row("r3b1–r3b4", 1.21, "outside, put right", is_outside=True),
                consumption_row("r4b1–r5b4", None, "not recorded"),
            ),
        ),
    )
)

STAGES = StageLine(
    steps=(
        StageStep(name="Survey", status="within limits", mark=StepMark.SETTLED),
        StageStep(name="Laminate", status="outside limits (1)", mark=StepMark.APART),
        StageStep(name="Completion", status="incomplete (3)", mark=StepMark.UNFINISHED),
    )
)


def drawn_samples() -> Mapping[str, Markup]:
    """One drawing of each kind by the name of its golden file."""
    bays = BayPlan(areas=(bay_area("Main roof", L_SHAPE, BAY_MARKS),))
    turned = BayPlan(areas=(bay_area("Main roof", TURNED, BAY_MARKS),))
    dose = DosePlot(panels=(DosePanel(title="Resin", chart=CHART, mixes=MIXES),))
    return {
        "roof-plan": draw_roof_plan(RoofPlan(areas=(MAIN, PORCH))),
        "bay-plan": draw_bay_plan(bays),
        "bay-plan-turned": draw_bay_plan(turned),
        "falls-plan": draw_falls_plan(FallsPlan(areas=(falls_area(MAIN, DISHED),))),
        "dose-plot": draw_dose_plot(dose),
        "conditions": draw_conditions_chart(CONDITIONS)[0],
        "consumption": draw_consumption_chart(CONSUMPTION)[0],
        "stage-line": draw_stage_line(STAGES),
    }


if __name__ == "__main__":
    for name, drawing in drawn_samples().items():
        (GOLDEN / f"{name}.svg").write_text(f"{drawing}\n", encoding="utf-8")
