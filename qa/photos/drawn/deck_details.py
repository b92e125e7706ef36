"""Close views of the boards: the fixings and the gap at a wall, with a tape in view."""

from __future__ import annotations

from dataclasses import dataclass

from PIL import Image

from qa.photos.drawn import boards, noise
from qa.photos.drawn.bounds import require
from qa.photos.drawn.brickwork import brickwork
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.tape import Tape

NEAR_SCALE = 1600
"""Pixels for each metre of a surface seen from arm's length."""


def boarded(studio: Studio, plan: Plan, joint_y_m: float, butt_x_m: float) -> None:
    """Cover a plan with boards: one long joint across the view, one butt joint beyond it."""
    rng = studio.rng
    width = plan.right_m - plan.left_m
    boards.board_over(
        plan, rng, plan.left_m, plan.near_m - 1, (width + 1, joint_y_m - plan.near_m + 1)
    )
    beyond = plan.far_m - joint_y_m + 1
    boards.board_over(plan, rng, plan.left_m - 1, joint_y_m, (butt_x_m - plan.left_m + 1, beyond))
    boards.board_over(plan, rng, butt_x_m, joint_y_m, (width + 1, beyond))
    dust(studio, plan, 160)


def dust(studio: Studio, plan: Plan, count: int) -> None:
    """Scatter sawdust and splinters."""
    rng, pen = studio.rng, plan.draw
    for _ in range(count):
        x, y = rng.uniform(0, plan.size[0]), rng.uniform(0, plan.size[1])
        reach, thick = rng.uniform(1, 6), rng.uniform(0.6, 1.8)
        dx, dy = rng.uniform(-reach, reach), rng.uniform(-reach, reach)
        pen.line(
            [(x + 1.5, y + 2), (x + dx + 1.5, y + dy + 2)], fill=(96, 68, 40), width=round(thick)
        )
        pen.line([(x, y), (x + dx, y + dy)], fill=(240, 222, 184), width=round(thick))


@dataclass(frozen=True, slots=True, kw_only=True)
class FixingPattern:
    """Nails along a joist line, a tape from nail to nail.

    Attributes:
        centres_mm: the spacing that the tape shows, 60 to 400.
    """

    centres_mm: int = 200

    def __post_init__(self) -> None:
        require("fixing centres, mm", self.centres_mm, 60, 400)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.92, 60.0, (0.0, 0.02, 0.0))
        plan = studio.plan_under(camera, NEAR_SCALE)
        line, spacing = -0.02 + rng.uniform(-0.03, 0.03), self.centres_mm / 1000
        boarded(studio, plan, 0.19 + rng.uniform(-0.03, 0.05), 0.2)
        start = -0.36 + rng.uniform(0, 0.04)
        pencil = [plan.at(plan.left_m, line + 0.004), plan.at(plan.right_m, line - 0.003)]
        plan.draw.line(pencil, fill=(92, 86, 84), width=2)
        places = [(start + spacing * i, line) for i in range(-2, 8)]
        boards.nails_at(plan, rng, places)
        tape = Tape(hook_m=(start, line - 0.040), heading_deg=rng.uniform(-1, 1), length_mm=860)
        tape.shadow(plan, light)
        plan.image = noise.weathered(
            plan.image, noise.clouds(rng, plan.size, 2.0, noise.MIXED), 0.2
        )
        plan.lit(light)
        plate = studio.plate(camera)
        plan.stand(plate)
        tape.stand(plate, light)
        return Exposure(plate=plate, sharp_rows=(0.22, 0.92))


@dataclass(frozen=True, slots=True, kw_only=True)
class WallGap:
    """The gap left between the boards and a wall, a tape across it.

    Attributes:
        gap_mm: the gap that the tape shows, 5 to 60.
    """

    gap_mm: int = 25

    def __post_init__(self) -> None:
        require("gap at the wall, mm", self.gap_mm, 5, 60)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.44, 61.0, (0.0, 0.055, 0.0))
        wall_y, edge = 0.09, 0.09 - self.gap_mm / 1000
        plate = studio.plate(camera, (26, 21, 17))
        self._wall(studio, plate, wall_y)
        plan = studio.plan_under(camera, NEAR_SCALE)
        plan = Plan(plan.left_m, plan.near_m, plan.right_m, edge, NEAR_SCALE)
        boarded(studio, plan, plan.near_m - 0.5, 0.6)
        boards.nails_at(plan, rng, [(x, edge - 0.035) for x in (-0.21, 0.0, 0.19)])
        tape = Tape(hook_m=(0.035, wall_y), heading_deg=-90, length_mm=280)
        tape.shadow(plan, light)
        plan.lit(light)
        pen = plan.draw
        pen.line([(0, 0), (plan.size[0], 0)], fill=(236, 212, 168), width=5)
        plan.stand(plate)
        tape.stand(plate, light)
        return Exposure(plate=plate, sharp_rows=(0.12, 0.95))

    @staticmethod
    def _wall(studio: Studio, plate: Plate, wall_y: float) -> None:
        """Stand the wall, its foot in the dark of the gap."""
        wall = brickwork(1.4, 0.6, 1500, (158, 98, 76))
        gain = studio.light.on((0.0, -1.0, 0.0)) / 0.7
        wall = wall.point([min(255, round(i * gain)) for i in range(256)] * 3)
        depth = Image.new("L", (1, 60), 255)
        for row in range(42, 60):
            depth.putpixel((0, row), max(18, 255 - (row - 41) * 42))
        wall = noise.shaded(wall, depth.resize(wall.size, Image.Resampling.BICUBIC))
        plate.lay(wall, (-0.7, wall_y, 0.44), (1.4, 0.0, 0.0), (0.0, 0.0, -0.6))
