"""Strips of glass bandage wetted out over joints: board to board, trim to trim, and at a corner."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from PIL import Image

from qa.photos.drawn import boards, glass, gloss, noise, sweep
from qa.photos.drawn.camera import Point
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.sweep import Trim

SCALE = 1000
HALF_M = 0.0375
"""Half the width of a strip of bandage."""

WET_ON_GREY: Colour = (132, 130, 116)


class Joint(StrEnum):
    """What a strip of bandage covers."""

    BOARDS = "boards"
    TRIMS = "trims"
    CORNER = "corner"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bandage:
    """A strip of glass bandage, wetted out and clear.

    Attributes:
        joint: what it covers.
    """

    joint: Joint = Joint.BOARDS

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        if self.joint is Joint.BOARDS:
            return _over_boards(studio)
        return _over_trims(studio) if self.joint is Joint.TRIMS else _at_corner(studio)


def _rectangle(left: float, near: float, right: float, far: float) -> list[Point]:
    return [(left, near), (right, near), (right, far), (left, far)]


def _wet_out(plan: Plan, studio: Studio, strips: list[list[Point]]) -> None:
    """Wet strips out over what lies there: a deeper tone, strands, resin beyond the edge."""
    rng = studio.rng
    mat = glass.mat_cut(rng, plan.size, SCALE)
    spill = Image.blend(
        plan.mask(strips, 0.014), noise.clouds(rng, plan.size, 0.2, noise.ROUGH), 0.35
    )
    damp = plan.image.point([round(i * gain) for gain in (0.76, 0.73, 0.66) for i in range(256)])
    plan.image = Image.composite(damp, plan.image, noise.contrast(spill, 66, 104))
    wet = glass.wetted(plan.image, mat, 0.30, 0.22)
    wet = wet.point([min(255, round(i * 1.16)) for i in range(256)] * 3)
    plan.image = Image.composite(wet, plan.image, glass.frayed(plan.mask(strips), mat))


def _shine(plate: Plate, studio: Studio, plan: Plan, strips: list[list[Point]]) -> None:
    """Let wet strips on a level surface mirror the sky."""
    small = Plan(plan.left_m, plan.near_m, plan.right_m, plan.far_m, 300)
    mask = gloss.wet_mask(plate.camera, small, small.mask(strips, 0.006))
    gloss.shine(plate, gloss.sky_mirror(plate.camera, studio.light, studio.rng), 0.95, mask)


def _over_boards(studio: Studio) -> Exposure:
    """Look along a joint between boards, half covered."""
    rng, light = studio.rng, studio.light
    camera = studio.over(0.95, 47.0)
    plan = studio.plan_under(camera, SCALE)
    y, end = rng.uniform(-0.04, 0.02), plan.right_m + 0.5
    cross = rng.uniform(-0.1, 0.25)
    for row in range(-2, 4):
        x = cross + (0.0, 0.9, 1.7)[row % 3]
        boards.board_over(plan, rng, x - 2.4, y + 0.6 * row)
        boards.board_over(plan, rng, x, y + 0.6 * row)
        boards.board_over(plan, rng, x - 4.8, y + 0.6 * row)
    strips = [
        _rectangle(plan.left_m - 1, y - HALF_M, end, y + HALF_M),
        _rectangle(cross - HALF_M, y, cross + HALF_M, y + rng.uniform(0.3, 0.56)),
    ]
    _wet_out(plan, studio, strips)
    plan.lit(light)
    plate = studio.plate_above_garden(camera)
    plan.stand(plate)
    _shine(plate, studio, plan, strips)
    return Exposure(plate=plate, sharp_rows=(0.18, 0.96))


def _over_trims(studio: Studio) -> Exposure:
    """Look at a lap of two raised edges, bandaged across, and along its flange."""
    rng, light = studio.rng, studio.light
    camera = studio.camera(
        (rng.uniform(-0.66, -0.54), -0.30, rng.uniform(0.42, 0.5)), (-0.02, 0.34, -0.03)
    )
    plate = studio.plate_above_garden(camera)
    plan = Plan(-2.2, -0.4, 0.0, 3.0, SCALE)
    rows = int((plan.far_m - plan.near_m) / 0.6) + 2
    boards.boards_over(plan, rng, rows, (plan.left_m - 0.6, plan.near_m - 0.3), 3.4)
    lap = 0.32 + rng.uniform(-0.04, 0.06)
    along = _rectangle(-0.130 - HALF_M, -1, -0.125, lap + rng.uniform(0.5, 1.2))
    _wet_out(plan, studio, [along])
    plan.lit(light)
    plan.stand(plate)
    _shine(plate, studio, plan, [along])
    Trim(section=sweep.RAISED_EDGE, line=((0.0, -0.4), (0.0, 3.0))).stand(plate, light, rng)
    flange = tuple((o, z + 0.001) for o, z in ((-0.131, 0.0025), (-0.131 + HALF_M, 0.0035)))
    Trim(
        section=flange, line=((0.0, -0.4), (0.0, along[2][1])), colour=WET_ON_GREY, fibrous=True
    ).stand(plate, light, rng)
    over = tuple((o, z + 0.0015) for o, z in sweep.RAISED_EDGE)
    Trim(
        section=over,
        line=((0.0, lap - HALF_M), (0.0, lap + HALF_M)),
        colour=WET_ON_GREY,
        fibrous=True,
    ).stand(plate, light, rng)
    return Exposure(plate=plate, sharp_rows=(0.2, 1.0))


def _at_corner(studio: Studio) -> Exposure:
    """Look at an external corner under its patch."""
    rng, light = studio.rng, studio.light
    camera = studio.camera((-0.52, -0.56, rng.uniform(0.44, 0.54)), (-0.02, 0.0, -0.01))
    plate = studio.plate_above_garden(camera)
    plan = Plan(-1.6, -1.6, 0.0, 0.0, SCALE)
    boards.boards_over(plan, rng, 4, (-1.9, -1.9 + rng.uniform(0, 0.3)), 2.4)
    reach = 0.150
    inner = -0.131
    patch = [
        (inner - 0.04, -reach),
        (inner, -reach),
        (inner, inner),
        (-reach, inner),
        (-reach, inner - 0.04),
        (inner - 0.04, inner - 0.04),
    ]
    legs = [
        _rectangle(inner - HALF_M, -1.6, inner, -reach),
        _rectangle(-1.6, inner - HALF_M, -reach, inner),
    ]
    _wet_out(plan, studio, [patch, *legs])
    plan.lit(light)
    plan.stand(plate)
    _shine(plate, studio, plan, [patch, *legs])
    line = ((0.0, -1.6), (0.0, 0.0), (-1.6, 0.0))
    Trim(section=sweep.RAISED_EDGE, line=line).stand(plate, light, rng)
    over = tuple((o, z + 0.0015) for o, z in sweep.RAISED_EDGE)
    corner = ((0.0, -reach), (0.0, 0.0), (-reach, 0.0))
    Trim(section=over, line=corner, colour=WET_ON_GREY, fibrous=True).stand(plate, light, rng)
    return Exposure(plate=plate, sharp_rows=(0.14, 0.97))
