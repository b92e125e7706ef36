"""A trim about to be lapped over the next: beads of adhesive, a tape along the lap."""

from __future__ import annotations

from dataclasses import dataclass
from math import sin

from qa.photos.drawn import boards, sweep
from qa.photos.drawn.bounds import require
from qa.photos.drawn.deck_details import NEAR_SCALE
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.sweep import Trim
from qa.photos.drawn.tape import Tape

EDGE_Y_M = 0.13
"""Where the roof ends."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimOverlap:
    """A trim about to be lapped over the next: beads of adhesive, a tape along the lap.

    Attributes:
        overlap_mm: the lap that the tape shows, 20 to 150.
        beads: beads of adhesive under the lap, 1 to 4.
    """

    overlap_mm: int = 60
    beads: int = 2

    def __post_init__(self) -> None:
        require("overlap, mm", self.overlap_mm, 20, 150)
        require("beads of adhesive", self.beads, 1, 4)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.52, 56.0, (0.02, 0.02, 0.0))
        seen = studio.plan_under(camera, NEAR_SCALE)
        plan = Plan(seen.left_m, seen.near_m, seen.right_m, EDGE_Y_M, NEAR_SCALE)
        boards.board_over(plan, rng, plan.left_m - 1, plan.near_m - 0.1, (6.0, 0.6))
        boards.board_over(plan, rng, plan.left_m - 1, plan.near_m + 0.5, (6.0, 1.6))
        lap = self.overlap_mm / 1000
        plan.shadow([[(-1, -0.012), (1, -0.012), (1, 0.1), (-1, 0.1)]], 0.006, 0.4)
        tape = Tape(hook_m=(-lap, -0.034), heading_deg=0.0, length_mm=260, height_m=0.004)
        tape.shadow(plan, light)
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        section = sweep.RAISED_EDGE
        Trim(section=section, line=((0.9, EDGE_Y_M), (-0.9, EDGE_Y_M))).stand(plate, light, rng)
        self._glue(plate, studio, lap)
        upper = tuple((o, z + 0.0045) for o, z in section)
        Trim(section=upper, line=((0.9, EDGE_Y_M), (0.0, EDGE_Y_M)), colour=(158, 161, 163)).stand(
            plate, light, rng
        )
        tape.stand(plate, light)
        return Exposure(plate=plate, sharp_rows=(0.15, 0.95))

    def _glue(self, plate: Plate, studio: Studio, lap: float) -> None:
        """Lay the beads across the flange, the last of them just squeezed out by the upper trim."""
        rng = studio.rng
        with plate.solids() as layer:
            for bead in range(self.beads):
                x = -lap + lap * (bead + 0.6) / (self.beads + 0.35)
                path = [
                    (
                        x + 0.0035 * sin(i * 0.45 + bead) + rng.uniform(-0.0008, 0.0008),
                        0.002 + i * 0.0019,
                        0.006,
                    )
                    for i in range(34)
                ]
                layer.bead(
                    path, 0.0046, ((26, 26, 27), (44, 44, 46), (70, 71, 73), (150, 152, 154))
                )
