"""The whole roof until it is boarded: old covering, open joists, boards going down."""

from __future__ import annotations

from dataclasses import dataclass, field

from qa.photos.drawn import boards, hand_tools, old_roof, roof
from qa.photos.drawn.bounds import require
from qa.photos.drawn.coverings import nailed
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate
from qa.photos.drawn.roof import RECTANGLE, ROOF_SCALE, Edging, RoofShape
from qa.photos.drawn.studio import Exposure, Studio


@dataclass(frozen=True, slots=True, kw_only=True)
class OldCovering:
    """The roof before work, under its old felt."""

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""

        def cover(plan: Plan) -> None:
            old_roof.felt(plan, studio.rng)

        edging = Edging(colour=(92, 92, 88), fascia=(206, 200, 186))
        plate = roof.roof(studio, self.shape, self.side, cover, edging)
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenJoists:
    """The roof stripped to its joists.

    Attributes:
        centres_mm: joist spacing, 300 to 900.
        noggins: whether noggins stand between them.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    centres_mm: int = 400
    noggins: bool = True

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("joist centres, mm", self.centres_mm, 300, 900)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""

        def cover(plan: Plan) -> None:
            old_roof.joists_under(plan, studio.rng, self.centres_mm / 1000, self.noggins)

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(trims=False))
        return Exposure(plate=plate)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardsBeingLaid:
    """Boards going down on the joists, row by row.

    Attributes:
        progress: share of the roof that is covered, 0 to 1.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    progress: float = 0.6

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("progress", self.progress, 0, 1)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""

        def cover(plan: Plan) -> None:
            rng, wide = studio.rng, plan.right_m - plan.left_m
            old_roof.joists_under(plan, rng, 0.4, True)
            rows = self.progress * (plan.far_m - plan.near_m) / 0.6
            last = max(0.4, round((rows % 1) * wide / 0.4) * 0.4) if rows % 1 > 0.05 else None
            count = int(rows) + (last is not None)
            edge = plan.near_m + 0.6 * int(rows)
            plan.shadow(
                [
                    [
                        (plan.left_m, edge),
                        (plan.right_m, edge),
                        (plan.right_m, edge + 0.06),
                        (plan.left_m, edge + 0.06),
                    ]
                ],
                0.02,
                0.4,
            )
            boards.boards_over(plan, rng, count, (plan.left_m, plan.near_m), wide, last)
            nailed(studio, plan, int(rows))

        plate = roof.roof(studio, self.shape, self.side, cover, Edging(trims=False))
        _stack(plate, studio)
        return Exposure(plate=plate)


def _stack(plate: Plate, studio: Studio) -> None:
    """Leave a few boards lying ready on the finished part."""
    rng, light = studio.rng, studio.light
    (wide, tall), thick, count = boards.BOARD_M, 0.018, rng.randint(2, 5)
    x, y = rng.uniform(1.7, 2.6), rng.uniform(0.65, 0.95)
    place = (x, y, 0.0)
    with plate.solids() as layer:
        for board in range(count):
            place = (x + rng.uniform(-0.03, 0.03), y + rng.uniform(-0.02, 0.02), board * thick)
            edge, face = (176, 142, 98), (92, 70, 46)
            hand_tools.box(layer, light, place, (wide, tall, thick), 0.0, (edge, face))
    size = (round(wide * ROOF_SCALE), round(tall * ROOF_SCALE))
    gain = light.on((0.0, 0.0, 1.0)) / 0.82
    piece = boards.strand_cut(rng, size, ROOF_SCALE)
    piece = piece.point([min(255, round(i * gain)) for i in range(256)] * 3)
    corner = (place[0] - wide / 2, place[1] + tall / 2, count * thick)
    plate.lay(piece, corner, (wide, 0.0, 0.0), (0.0, -tall, 0.0))
