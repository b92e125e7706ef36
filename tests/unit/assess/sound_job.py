"""A job in which everything was recorded and everything is within limits, to be spoilt by tests.

    assessment = assessed(sound_job(measured={"deck.moisture": 18.1}))
    only(assessment, "deck.moisture").verdict

The roof is `main`, 6 m by 4 m with 30 bays; wet work on 12 May 2026, topcoat on the day after.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from qa.assess.assessment import assess
from qa.assess.finding import Assessment, Finding
from qa.specification.loader import built_in
from qa.specification.model import Specification
from tests.factories import RecordBuilder

GENERAL = built_in("general-grp/1")

CREW = [
    {"person": "ines", "name": "Ines Invented", "role": "installer"},
    {"person": "otto", "name": "Otto Invented", "role": "installer"},
    {"person": "mara", "name": "Mara Invented", "role": "supervisor"},
]

USE_BY = "2026-09-30"
LOTS: tuple[dict[str, Any], ...] = (
    {"lot": "resin-1", "use_by": USE_BY},
    {"lot": "topcoat-1", "material": "topcoat", "use_by": USE_BY},
    {"lot": "catalyst-1", "material": "catalyst", "use_by": USE_BY, "density_g_per_ml": 1.18},
)

MEASURED: Mapping[str, tuple[str, float, str]] = {
    "survey.joist_centres": ("survey", 400, "mm"),
    "survey.fall": ("survey", 25, "mm/m"),
    "deck.board_thickness": ("deck", 18, "mm"),
    "deck.moisture": ("deck", 14.5, "%"),
    "deck.expansion_gap": ("deck", 25, "mm"),
    "deck.fixing_centres": ("deck", 150, "mm"),
    "deck.fixings_across_board": ("deck", 5, "1"),
    "deck.fixing_penetration": ("deck", 45, "mm"),
    "deck.offcut_length": ("deck", 600, "mm"),
    "deck.offcut_joists": ("deck", 3, "1"),
    "trims.fixing_centres": ("trims", 140, "mm"),
    "trims.overlap": ("trims", 60, "mm"),
    "trims.adhesive_beads": ("trims", 2, "1"),
    "laminate.mat_overlap": ("laminate", 60, "mm"),
    "completion.dry_hours": ("completion", 30, "h"),
}
"""Stage, a good value and its unit for every check that is measured once for an area."""

OBSERVED: Mapping[str, tuple[str, str]] = {
    "survey.back_fall": ("survey", "no"),
    "survey.joists_sound": ("survey", "yes"),
    "survey.ventilation": ("survey", "yes"),
    "survey.walls_and_gutters": ("survey", "yes"),
    "deck.board": ("deck", "yes"),
    "deck.dry": ("deck", "yes"),
    "deck.fixing_type": ("deck", "yes"),
    "deck.joints_staggered": ("deck", "yes"),
    "deck.laid_across_joists": ("deck", "yes"),
    "deck.wider_groove_up": ("deck", "yes"),
    "trims.perimeter_complete": ("trims", "yes"),
    "trims.line": ("trims", "yes"),
    "bandage.joints_covered": ("bandage", "yes"),
    "bandage.corner_strip": ("bandage", "yes"),
    "bandage.wet_out": ("bandage", "yes"),
    "topcoat.laminate_cured": ("topcoat", "yes"),
    "topcoat.sanded": ("topcoat", "yes"),
    "topcoat.wiped": ("topcoat", "yes"),
    "topcoat.coverage": ("topcoat", "yes"),
    "completion.cured": ("completion", "yes"),
    "completion.edges_clean": ("completion", "yes"),
    "completion.site_clean": ("completion", "yes"),
    "completion.flashings": ("completion", "yes"),
}
"""Stage and the good answer for every check that people answer by yes or no."""

ROWS, NUMBERS = 5, 6
BAYS = tuple(f"r{row}b{number}" for row in range(1, ROWS + 1) for number in range(1, NUMBERS + 1))
WEATHER = {"air_c": 15, "humidity_pct": 60, "deck_c": 14, "rain": False}
STIRRED = {"stirred_before_s": 40, "stirred_after_s": 70}
LAMINATE_MIXES: tuple[tuple[str, str, float, tuple[str, ...]], ...] = (
    ("10:05", "10:15", 3.0, BAYS[:2]),
    ("10:20", "10:30", 6.0, BAYS[2:6]),
    ("10:40", "10:50", 8.55, BAYS[6:12]),
    ("11:00", "11:10", 8.55, BAYS[12:18]),
    ("11:20", "11:30", 9.9, BAYS[18:]),
)
"""Begun, emptied, kg and bays of each laminating mix: 1.5 kg/m² everywhere."""


def sound_job(
    *,
    measured: Mapping[str, float] | None = None,
    observed: Mapping[str, str] | None = None,
    without: Collection[str] = (),
) -> RecordBuilder:
    """A record of a whole job.

    Args:
        measured: values that differ from the good ones of `MEASURED`, by check.
        observed: answers that differ from the good ones of `OBSERVED`, by check.
        without: checks that nobody answers.
    """
    builder = equipped()
    dry_work = _Stages(builder, measured or {}, observed or {}, without)
    for stage, clock in (("survey", "07:10"), ("deck", "07:30"), ("trims", "08:00")):
        dry_work.answer(stage, clock)
        dry_work.finish(stage)
    _bandage(builder, dry_work)
    _laminate(builder, dry_work)
    builder.wait(days=1)
    _topcoat(builder, dry_work)
    builder.wait(days=2)
    dry_work.answer("completion", "09:00")
    dry_work.finish("completion")
    return builder


def equipped(**job: Any) -> RecordBuilder:
    """A record with job, area, instruments and lots in date; `job` changes the job's fields."""
    builder = RecordBuilder.opened(**({"crew": CREW} | job))
    builder.add("area")
    builder.add("instrument")
    for lot in LOTS:
        builder.add("lot", **lot)
    return builder


class _Stages:
    """Answers, photos and signatures of every stage."""

    def __init__(
        self,
        builder: RecordBuilder,
        measured: Mapping[str, float],
        observed: Mapping[str, str],
        without: Collection[str],
    ) -> None:
        self._builder = builder
        self._measured, self._observed, self._without = measured, observed, without

    def answer(self, stage: str, clock: str) -> None:
        """All answers of a stage at one time of the day."""
        add = self._builder.add
        for check, (of_stage, good, unit) in MEASURED.items():
            if of_stage == stage and check not in self._without:
                value = self._measured.get(check, good)
                add(
                    "measurement",
                    at=clock,
                    stage=stage,
                    check=check,
                    value=value,
                    unit=unit,
                    area="main",
                )
        for check, (of_stage, answer) in OBSERVED.items():
            if of_stage == stage and check not in self._without:
                said = self._observed.get(check, answer)
                reason = "No such thing on this roof." if said == "not_applicable" else ...
                add(
                    "observation",
                    at=clock,
                    stage=stage,
                    check=check,
                    result=said,
                    reason=reason,
                    area="main",
                )
        if stage == "trims":
            self._edges(clock)

    def _edges(self, clock: str) -> None:
        for check, edge, value, unit in (
            ("trims.battens", "eaves", 2, "1"),
            ("trims.battens", "right", 1, "1"),
            ("trims.batten_offset", "eaves", 10, "mm"),
        ):
            self._builder.add(
                "measurement",
                at=clock,
                stage="trims",
                check=check,
                value=value,
                unit=unit,
                area="main",
                edge=edge,
            )

    def finish(self, stage: str) -> None:
        """Photos, sign-off and, at a hold point, release."""
        builder = self._builder
        for photo in _photos_of(stage):
            builder.add("photo", stage=stage, area="main", **photo)
        builder.add("sign_off", stage=stage, decision="complete", statement="Done.")
        if stage in ("deck", "bandage", "laminate", "topcoat"):
            builder.add("sign_off", stage=stage, decision="released", statement="Go on.")


def _photos_of(stage: str) -> list[dict[str, Any]]:
    match stage:
        case "survey":
            return [{}, {}]
        case "deck":
            return [{}, {"check": "deck.fixing_centres"}, {"check": "deck.expansion_gap"}]
        case "trims":
            edges = [{"edge": edge} for edge in ("eaves", "right", "wall", "left")]
            return [*edges, {}, {}, {}, {}, {"check": "trims.overlap"}]
        case "bandage":
            return [{}, {}, {}, {}]
        case "laminate":
            rows = [{"bay": f"r{row}b1"} for row in range(1, ROWS + 1)]
            return [*rows, {"lot": "resin-1"}, {"lot": "catalyst-1"}]
        case "completion":
            edges = [{"edge": edge} for edge in ("eaves", "right", "wall", "left")]
            return [*edges, {}, {}, {}]
    return []


def _bandage(builder: RecordBuilder, stages: _Stages) -> None:
    builder.add("conditions", at="09:00", stage="bandage", area="main", **WEATHER)
    builder.add(
        "mix",
        at="09:05",
        stage="bandage",
        kg=2,
        catalyst_ml=60,
        emptied_at="2026-05-12T09:15:00+01:00",
        **STIRRED,
    )
    stages.answer("bandage", "09:20")
    stages.finish("bandage")


def _laminate(builder: RecordBuilder, stages: _Stages) -> None:
    builder.add("conditions", at="10:00", area="main", **WEATHER)
    for begun, emptied, kg, bays in LAMINATE_MIXES:
        builder.add(
            "mix",
            at=begun,
            kg=kg,
            catalyst_ml=30 * kg,
            bays=list(bays),
            emptied_at=f"2026-05-12T{emptied}:00+01:00",
            **STIRRED,
        )
    for bay in BAYS:
        builder.add("examination", at="11:35", by="otto", bay=bay, passes=4)
    for clock in ("11:40", "13:40", "15:40", "17:40"):
        builder.add("conditions", at=clock, area="main", **WEATHER)
    stages.answer("laminate", "17:41")
    stages.finish("laminate")


def _topcoat(builder: RecordBuilder, stages: _Stages) -> None:
    stages.answer("topcoat", "09:00")
    builder.add("conditions", at="09:05", stage="topcoat", area="main", **WEATHER)
    builder.add(
        "mix",
        at="09:10",
        stage="topcoat",
        lot="topcoat-1",
        kg=9.0,
        catalyst_ml=180,
        emptied_at="2026-05-13T09:25:00+01:00",
        **STIRRED,
    )
    stages.finish("topcoat")


def assessed(builder: RecordBuilder, specification: Specification = GENERAL) -> Assessment:
    """The assessment of the record as it stands."""
    return assess(builder.job(), specification)


def findings(
    assessed: Assessment | RecordBuilder, check: str, **where: str | None
) -> tuple[Finding, ...]:
    """The findings of one check whose stage, area, bay or subject are as given."""
    if isinstance(assessed, RecordBuilder):
        assessed = assess(assessed.job(), GENERAL)
    return tuple(
        found
        for found in assessed.findings
        if found.check == check
        and all(getattr(found, name) == value for name, value in where.items())
    )


def only(assessed: Assessment | RecordBuilder, check: str, **where: str | None) -> Finding:
    """The one finding of a check at a place."""
    (found,) = findings(assessed, check, **where)
    return found
