"""The trade's words that a record, a specification and an assessment share.

Every value is written in files exactly as it stands here.
"""

from __future__ import annotations

from enum import StrEnum


class Stage(StrEnum):
    """The stages of a hand-laid GRP roof, in the order of the work."""

    SURVEY = "survey"
    DECK = "deck"
    TRIMS = "trims"
    BANDAGE = "bandage"
    LAMINATE = "laminate"
    TOPCOAT = "topcoat"
    COMPLETION = "completion"

    @property
    def order(self) -> int:
        """Place in the order of the work, from 0."""
        return _STAGE_ORDER[self]

    @property
    def following(self) -> Stage | None:
        """The stage that comes next, or None after the last."""
        stages = tuple(Stage)
        return stages[self.order + 1] if self.order + 1 < len(stages) else None


_STAGE_ORDER = {stage: order for order, stage in enumerate(Stage)}

WET_STAGES = (Stage.BANDAGE, Stage.LAMINATE, Stage.TOPCOAT)
"""The stages in which catalysed material is laid."""


class EdgeKind(StrEnum):
    """What a roof's edge is finished with."""

    DRIP_EDGE = "drip_edge"
    RAISED_EDGE = "raised_edge"
    WALL_FILLET = "wall_fillet"
    FLASHING = "flashing"


class Material(StrEnum):
    """What a lot holds."""

    RESIN = "resin"
    TOPCOAT = "topcoat"
    CATALYST = "catalyst"
    MAT = "mat"
    BANDAGE = "bandage"
    ADHESIVE = "adhesive"
    SOLVENT = "solvent"
    BOARD = "board"


class WetOut(StrEnum):
    """How a bay looks while its laminate can still be seen through."""

    TRANSPARENT = "transparent"
    WHITE_PATCHES = "white_patches"
    DRY = "dry"
