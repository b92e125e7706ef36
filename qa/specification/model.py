"""What a specification holds once it has been read: limits, charts and rates, each with its basis.

A specification is data. No limit stands in code: the assessment asks these values for every figure
that it judges against, and every figure brings its unit, its basis and the sentence that names its
source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from qa.specification.plan_figures import Planning
from qa.specification.sourced import Basis, Figure, Sourced
from qa.trade.catalyst import DoseChart
from qa.trade.conformity import DecisionRule, Limits
from qa.trade.gel_time import GelModel, GelPoint
from qa.trade.vocabulary import EdgeKind, Stage

__all__ = [
    "Basis",
    "Check",
    "Figure",
    "Figures",
    "Form",
    "Need",
    "Per",
    "PhotoPer",
    "PhotoRequest",
    "Sourced",
    "SourcedChart",
    "SourcedGelModel",
    "Specification",
    "StageRule",
    "UncertaintyFigures",
]


class Form(StrEnum):
    """How a check is answered."""

    MEASURED = "measured"
    """By `measurement` entries in the unit of the limit."""
    OBSERVED = "observed"
    """By `observation` entries, yes or no."""
    EITHER = "either"
    """By a measurement or an observation."""
    COMPUTED = "computed"
    """By the assessment itself, from other entries."""


class Per(StrEnum):
    """What one finding of a check is about."""

    JOB = "job"
    AREA = "area"
    EDGE = "edge"
    BAY = "bay"
    MIX = "mix"
    LOT = "lot"
    ENTRY = "entry"


class Need(StrEnum):
    """Whether silence on a check is itself a finding."""

    ALWAYS = "always"
    IF_RECORDED = "if_recorded"


@dataclass(frozen=True, slots=True, kw_only=True)
class Check(Sourced):
    """One thing that is judged.

    Attributes:
        key: such as "deck.moisture".
        stages: the stages under which the check is judged.
        form: how it is answered.
        per: what one finding is about.
        need: whether a missing answer is a finding.
        unit: the unit of the limit ("%" , "mm", "1" for a count), or None for yes and no.
        limits: the absolute limits, either end None where there is none; both are None where they
            follow from an expectation, a chart or another figure, or the value is only shown.
        below_pct, above_pct: tolerance on an expectation that the assessment computes (consumption,
            thickness), in percent of it; None where the limits are absolute.
        expects: the good answer to an observation, True for yes, or None.
        quantity: what is measured or seen, for an expert: "moisture content of the deck boards".
        plain: how the homeowner's sentence begins: "The moisture in the deck boards".
        plain_good, plain_bad: the homeowner's whole sentence for a good and a bad answer to an
            observation, or None.
    """

    key: str
    stages: tuple[Stage, ...]
    form: Form
    per: Per
    need: Need
    unit: str | None
    limits: Limits
    below_pct: float | None
    above_pct: float | None
    expects: bool | None
    quantity: str
    plain: str
    plain_good: str | None
    plain_bad: str | None


class PhotoPer(StrEnum):
    """How often a photo request stands."""

    JOB = "job"
    AREA = "area"
    EDGE_KIND = "edge_kind"
    EDGE = "edge"
    CORNER = "corner"
    BAY_ROW = "bay_row"
    DEFECT = "defect"
    LOT = "lot"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRequest:
    """A photo that a stage asks for.

    Attributes:
        text: what must be seen: "the gap at the wall with a tape in view".
        per: once for the job, for each area, for each edge kind …
        least: how many photos each time.
        checks: where given, only photos that name one of these checks answer the request.
    """

    text: str
    per: PhotoPer
    least: int
    checks: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRule:
    """What the specification asks of a stage as a whole.

    Attributes:
        title: the stage's name in the trade's words.
        plain: what happens in it, one sentence for the homeowner.
        hold_point: whether a supervisor releases it before the next stage begins.
        covered_by: the stage whose first mix hides this one's work for good, or None.
        photos: the photos that it asks for.
    """

    stage: Stage
    title: str
    plain: str
    hold_point: bool
    covered_by: Stage | None
    photos: tuple[PhotoRequest, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcedChart(Sourced):
    """A dose chart with its source."""

    chart: DoseChart


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcedGelModel(Sourced):
    """The gel-time estimate fitted to the specification's points, with their source.

    Attributes:
        model: the estimate.
        points: what it was fitted to.
        spread_ratio: gel time of one product over another's, which sets its band.
    """

    model: GelModel
    points: tuple[GelPoint, ...]
    spread_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """The rates and properties of materials that the arithmetic needs."""

    resin_to_glass: Figure
    deck_uptake_kg_per_m2: Figure
    topcoat_kg_per_m2: Figure
    glass_g_per_cm3: Figure
    cured_resin_g_per_cm3: Figure
    topcoat_g_per_cm3: Figure
    catalyst_g_per_ml: Figure
    bandage_width_mm: Figure
    bandage_g_per_m2: Figure
    mat_width_m: Figure
    mat_overlap_m: Figure
    bay_length_m: Figure
    cure_doubling_k: Figure
    cure_floor_c: Figure
    cure_reference_c: Figure
    cure_longest_gap_h: Figure
    stir_after_topcoat_s: Figure
    topcoat_clock_hours: Figure
    reading_holds_h: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class UncertaintyFigures:
    """How well a quantity is known where no instrument tells it: expanded, k = 2.

    Attributes:
        mass_kg: of one weighing.
        catalyst_ml: of one dose of catalyst.
        outline_m: of one length of an outline or an upstand.
        bay_edge_m: of the place where the work of one mix ended.
        mat_pct: of the mass of a square metre of mat, % of what it is sold by.
        level_mm: of the height of one surveyed level.
    """

    mass_kg: Figure
    catalyst_ml: Figure
    outline_m: Figure
    bay_edge_m: Figure
    mat_pct: Figure
    level_mm: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Specification:
    """Limits, charts and rates as data, one version of them.

    Attributes:
        name: key and version as a record pins it: "general-grp/1".
        title, note: what it is, and what a reader must know before trusting it.
        rule: simple or guarded acceptance (JCGM 106).
        sha256: digest of the file's bytes, so that anyone can check which text was used.
        stages: one rule for each stage, in the order of the work.
        checks: every check by its key.
        uncertainty: how well a quantity is known where no instrument of the record tells it.
        battens: battens behind each edge kind, a sourced figure each; kinds without one are absent.
        planning: what is taken for granted before the work; nothing is judged by it.
    """

    name: str
    title: str
    note: str
    rule: DecisionRule
    sha256: str
    stages: tuple[StageRule, ...]
    checks: Mapping[str, Check]
    resin_dose: SourcedChart
    topcoat_dose: SourcedChart
    gel_time: SourcedGelModel
    figures: Figures
    uncertainty: UncertaintyFigures
    battens: Mapping[EdgeKind, Figure]
    planning: Planning

    def stage_rule(self, stage: Stage) -> StageRule:
        """The rule for `stage`."""
        return self.stages[stage.order]
