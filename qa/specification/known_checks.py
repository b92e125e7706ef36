"""Every check that an assessment asks a specification for, and what each must look like.

A firm changes limits, bases, sources and words as it likes. It cannot drop a check unseen, invent
one that nothing judges, or answer one in a unit that the arithmetic does not use; this table is
what the file is held against.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import Enum, auto

from qa.specification.model import Per
from qa.trade.vocabulary import WET_STAGES, Stage


class LimitKind(Enum):
    """Where the limits of a check come from."""

    OWN = auto()
    """`lower`, `upper` or both."""
    TOLERANCE = auto()
    """`below_pct`, `above_pct` or both, on what the assessment expects."""
    ELSEWHERE = auto()
    """A chart or another figure of the specification."""
    OPTIONAL = auto()
    """`lower` and `upper` where a firm wants them: the value is shown in any case."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownCheck:
    """What the assessment takes for granted of one check.

    Attributes:
        key: such as "deck.moisture".
        unit: the unit in which it is judged, or None where it is yes or no.
        computed_per: what a finding of it is about where the assessment computes it, or None where
            it is answered by measurements or observations.
        limit_kind: where its limits come from; of no meaning without a unit.
    """

    key: str
    unit: str | None
    computed_per: Per | None
    limit_kind: LimitKind

    def stages(self, hold_points: tuple[Stage, ...] | None) -> tuple[Stage, ...] | None:
        """The stages under which it is judged, given the specification's hold points if known."""
        if self.key == "stage.released":
            return hold_points
        group = self.key.partition(".")[0]
        if group in ("stage", "record"):
            return tuple(Stage)
        if group == "lot":
            return (Stage.COMPLETION,)
        return WET_STAGES if group in ("conditions", "mix") else (Stage(group),)


_ANSWERED: Mapping[str, str | None] = {
    "survey.joist_centres": "mm",
    "survey.fall": "mm/m",
    "survey.back_fall": "m2",
    "survey.joists_sound": None,
    "survey.ventilation": None,
    "survey.walls_and_gutters": None,
    "deck.board": None,
    "deck.board_thickness": "mm",
    "deck.dry": None,
    "deck.moisture": "%",
    "deck.expansion_gap": "mm",
    "deck.fixing_centres": "mm",
    "deck.fixings_across_board": "1",
    "deck.fixing_penetration": "mm",
    "deck.fixing_type": None,
    "deck.offcut_length": "mm",
    "deck.offcut_joists": "1",
    "deck.joints_staggered": None,
    "deck.laid_across_joists": None,
    "deck.wider_groove_up": None,
    "trims.battens": "1",
    "trims.batten_offset": "mm",
    "trims.fixing_centres": "mm",
    "trims.overlap": "mm",
    "trims.adhesive_beads": "1",
    "trims.perimeter_complete": None,
    "trims.line": None,
    "bandage.joints_covered": None,
    "bandage.corner_strip": "mm",
    "bandage.wet_out": None,
    "laminate.crew": "1",
    "laminate.mat_overlap": "mm",
    "laminate.roller_loads": "1/m2",
    "topcoat.laminate_cured": None,
    "topcoat.sanded": None,
    "topcoat.wiped": None,
    "topcoat.coverage": None,
    "completion.dry_hours": "h",
    "completion.cured": "Barcol",
    "completion.edges_clean": None,
    "completion.site_clean": None,
    "completion.flashings": None,
}
"""Answered by measurements and observations: key and unit."""

_COMPUTED: Mapping[str, tuple[str | None, Per]] = {
    "stage.photos": (None, Per.JOB),
    "stage.signed_off": (None, Per.JOB),
    "stage.released": (None, Per.JOB),
    "record.timely": ("h", Per.ENTRY),
    "conditions.deck_temperature": ("°C", Per.ENTRY),
    "conditions.air_temperature": ("°C", Per.ENTRY),
    "conditions.dew_margin": ("K", Per.ENTRY),
    "conditions.humidity": ("%", Per.ENTRY),
    "conditions.dry": (None, Per.AREA),
    "conditions.interval": ("h", Per.AREA),
    "mix.dose": ("ml/kg", Per.MIX),
    "mix.batch_in_date": ("d", Per.MIX),
    "mix.stir_before": ("s", Per.MIX),
    "mix.stir_after": ("s", Per.MIX),
    "mix.used_in_time": ("min", Per.MIX),
    "mix.traceable": (None, Per.MIX),
    "laminate.first_mix_area": ("m2", Per.MIX),
    "laminate.passes": ("1", Per.BAY),
    "laminate.wet_out": ("cm2", Per.BAY),
    "laminate.pinholes": ("1/m2", Per.BAY),
    "laminate.trapped_air": ("1/m2", Per.BAY),
    "laminate.thickness": ("mm", Per.BAY),
    "laminate.consumption": ("kg/m2", Per.AREA),
    "laminate.glass_fraction": ("1", Per.AREA),
    "laminate.bays_examined": ("%", Per.AREA),
    "topcoat.interval": ("h", Per.AREA),
    "topcoat.consumption": ("kg/m2", Per.AREA),
    "completion.nonconformities_closed": ("1", Per.JOB),
    "lot.balance": ("%", Per.LOT),
}
"""Computed from other entries: key, unit, and what one finding is about."""

_LIMIT_KINDS: Mapping[str, LimitKind] = {
    "trims.battens": LimitKind.ELSEWHERE,
    "mix.dose": LimitKind.ELSEWHERE,
    "mix.used_in_time": LimitKind.ELSEWHERE,
    "laminate.thickness": LimitKind.TOLERANCE,
    "laminate.consumption": LimitKind.TOLERANCE,
    "laminate.roller_loads": LimitKind.OPTIONAL,
}
"""All others have limits of their own."""


def _known() -> Iterator[KnownCheck]:
    for key, unit in _ANSWERED.items():
        kind = _LIMIT_KINDS.get(key, LimitKind.OWN)
        yield KnownCheck(key=key, unit=unit, computed_per=None, limit_kind=kind)
    for key, (unit, per) in _COMPUTED.items():
        kind = _LIMIT_KINDS.get(key, LimitKind.OWN)
        yield KnownCheck(key=key, unit=unit, computed_per=per, limit_kind=kind)


KNOWN_CHECKS: Mapping[str, KnownCheck] = {known.key: known for known in _known()}
"""Every check by its key."""
