"""Close views of the edges: every kind, the corners, as fixed, laminated and coated."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from enum import StrEnum
from math import cos, pi, sin

from qa.photos.drawn import boards, glass, sweep
from qa.photos.drawn.brickwork import brickwork
from qa.photos.drawn.camera import Point
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.sweep import Trim

TRIM_SCALE = 1000

ALONG_SCALE = 700

TOPCOAT: Colour = (118, 123, 127)


class EdgeKind(StrEnum):
    """The plain words of the trade for an edge."""

    DRIP_EDGE = "drip_edge"
    RAISED_EDGE = "raised_edge"
    WALL_FILLET = "wall_fillet"
    FLASHING = "flashing"
    INTERNAL_CORNER = "internal_corner"
    EXTERNAL_CORNER = "external_corner"


class Finish(StrEnum):
    """How far the work at an edge has come."""

    FIXED = "fixed"
    LAMINATED = "laminated"
    COATED = "coated"


def floor(studio: Studio, plan: Plan, finish: Finish) -> None:
    """Cover a plan as far as the work has come."""
    rng = studio.rng
    boards.boards_over(
        plan, rng, int((plan.far_m - plan.near_m) / 0.6) + 2,
        (plan.left_m - rng.random(), plan.near_m - rng.uniform(0, 0.5)),
        plan.right_m - plan.left_m + 1.2,
    )  # fmt: skip
    if finish is Finish.FIXED:
        return
    scale = round(plan.px_per_m)
    if finish is Finish.COATED:
        plan.image = glass.coated(rng, plan.size, scale, TOPCOAT)
    else:
        plan.image = glass.cured(plan.image, glass.mat_cut(rng, plan.size, scale))


def trim_colour(finish: Finish) -> Colour:
    """Return the colour of a trim as far as the work has come."""
    return TOPCOAT if finish is Finish.COATED else sweep.GEL_GREY


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """A stretch of one edge.

    Attributes:
        kind: the kind of edge.
        finish: fixed to bare boards, laminated over, or coated.
    """

    kind: EdgeKind
    finish: Finish = Finish.FIXED

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        if self.kind in (EdgeKind.WALL_FILLET, EdgeKind.FLASHING):
            return self._at_wall(studio)
        if self.kind is EdgeKind.INTERNAL_CORNER:
            return self._internal(studio)
        if self.kind is EdgeKind.EXTERNAL_CORNER:
            return self._external(studio)
        return self._free(studio)

    def _free(self, studio: Studio) -> Exposure:
        """Look along a free edge, the garden below it."""
        rng, light = studio.rng, studio.light
        camera = studio.camera(
            (rng.uniform(-0.75, -0.55), -0.55, rng.uniform(0.52, 0.7)), (0.08, 0.62, -0.10)
        )
        plate = studio.plate_above_garden(camera)
        plan = Plan(-2.4, -0.5, 0.0, 2.8, ALONG_SCALE)
        floor(studio, plan, self.finish)
        plan.shadow([[(-0.11, -1), (-0.095, -1), (-0.095, 4), (-0.11, 4)]], 0.012, 0.25)
        plan.lit(light)
        section = sweep.DRIP_EDGE if self.kind is EdgeKind.DRIP_EDGE else sweep.RAISED_EDGE
        _fascia(studio, plate, (0.0, 2.8), (0.0, -0.6))
        plan.stand(plate)
        trim = Trim(
            section=section, line=((0.0, -0.5), (0.0, 2.8)), colour=trim_colour(self.finish)
        )
        trim.stand(plate, light, rng)
        if self.finish is Finish.FIXED:
            _fixings(plate, [(-0.085, -0.4 + 0.15 * i) for i in range(24)], 0.004)
            _lap(plate, studio, section, rng.uniform(0.45, 0.8), trim.colour)
        return Exposure(plate=plate, sharp_rows=(0.3, 1.0))

    def _at_wall(self, studio: Studio) -> Exposure:
        """Look along the foot of a wall."""
        rng, light = studio.rng, studio.light
        camera = studio.camera(
            (rng.uniform(-0.75, -0.6), -0.62, rng.uniform(0.55, 0.7)), (-0.02, 0.42, 0.05)
        )
        plate = studio.plate_above_garden(camera)
        plan = Plan(-2.4, -0.5, 0.0, 2.8, ALONG_SCALE)
        floor(studio, plan, self.finish)
        plan.shadow([[(-0.14, -1), (0, -1), (0, 4), (-0.14, 4)]], 0.03, 0.3)
        plan.lit(light)
        plan.stand(plate)
        _wall(studio, plate, (0.0, 2.8), (0.0, -0.6))
        line = ((0.0, -0.5), (0.0, 2.8))
        Trim(section=sweep.WALL_FILLET, line=line, colour=trim_colour(self.finish)).stand(
            plate, light, rng
        )
        if self.kind is EdgeKind.FLASHING:
            _flashings(plate, studio, line)
        elif self.finish is Finish.FIXED:
            _fixings(plate, [(-0.10, -0.4 + 0.15 * i) for i in range(24)], 0.004)
        return Exposure(plate=plate, sharp_rows=(0.25, 1.0))

    def _internal(self, studio: Studio) -> Exposure:
        """Look into the corner of two walls."""
        rng, light = studio.rng, studio.light
        camera = studio.camera((-0.80, -0.72, rng.uniform(0.62, 0.78)), (-0.03, 0.03, 0.06))
        plate = studio.plate(camera)
        plan = Plan(-1.7, -1.7, 0.0, 0.0, TRIM_SCALE)
        floor(studio, plan, self.finish)
        plan.shadow(
            [[(-0.15, -2), (0, -2), (0, 0), (-2, 0), (-2, -0.15), (-0.15, -0.15)]], 0.03, 0.32
        )
        plan.lit(light)
        plan.stand(plate)
        _wall(studio, plate, (-1.8, 0.0), (0.0, 0.0))
        _wall(studio, plate, (0.0, 0.0), (0.0, -1.8))
        line = ((-1.8, 0.0), (0.0, 0.0), (0.0, -1.8))
        colour = trim_colour(self.finish)
        Trim(section=sweep.WALL_FILLET, line=tuple(reversed(line)), colour=colour).stand(
            plate, light, rng
        )
        corner = ((-0.16, 0.0), (0.0, 0.0), (0.0, -0.16))
        cap = tuple((o - 0.003, z + 0.003) for o, z in sweep.WALL_FILLET)
        Trim(section=cap, line=tuple(reversed(corner)), colour=colour).stand(plate, light, rng)
        return Exposure(plate=plate, sharp_rows=(0.12, 0.95))

    def _external(self, studio: Studio) -> Exposure:
        """Look at the corner of two free edges from inside the roof."""
        rng, light = studio.rng, studio.light
        camera = studio.camera((-0.62, -0.66, rng.uniform(0.50, 0.62)), (0.0, 0.02, -0.02))
        plate = studio.plate_above_garden(camera)
        plan = Plan(-1.7, -1.7, 0.0, 0.0, TRIM_SCALE)
        floor(studio, plan, self.finish)
        plan.lit(light)
        plan.stand(plate)
        line = ((-1.8, 0.0), (0.0, 0.0), (0.0, -1.8))
        colour = trim_colour(self.finish)
        Trim(section=sweep.RAISED_EDGE, line=tuple(reversed(line)), colour=colour).stand(
            plate, light, rng
        )
        corner = ((-0.15, 0.0), (0.0, 0.0), (0.0, -0.15))
        cap = tuple((o, z + 0.003) for o, z in sweep.RAISED_EDGE)
        Trim(section=cap, line=tuple(reversed(corner)), colour=colour).stand(plate, light, rng)
        return Exposure(plate=plate, sharp_rows=(0.15, 0.95))


def _wall(studio: Studio, plate: Plate, start: Point, end: Point) -> None:
    """Stand a brick wall on the line from start to end, seen from its right."""
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    wall = brickwork(length, 0.9, 500, (158, 98, 76))
    normal = ((end[1] - start[1]) / length, (start[0] - end[0]) / length, 0.0)
    gain = studio.light.on(normal) / 0.60
    wall = wall.point([min(255, round(i * gain)) for i in range(256)] * 3)
    plate.lay(wall, (*start, 0.9), (end[0] - start[0], end[1] - start[1], 0.0), (0.0, 0.0, -0.9))


def _fascia(studio: Studio, plate: Plate, start: Point, end: Point) -> None:
    """Hang a timber fascia below a free edge."""
    wood = boards.timber(studio.rng, (900, 90), (196, 160, 112))
    plate.lay(wood, (*start, 0.0), (end[0] - start[0], end[1] - start[1], 0.0), (0.0, 0.0, -0.2))


def _fixings(plate: Plate, places: list[Point], up: float) -> None:
    """Set nail heads along a flange."""
    with plate.solids() as layer:
        for x, y in places:
            for reach, colour in (
                (0.0062, (84, 84, 82)),
                (0.0046, (176, 178, 178)),
                (0.002, (232, 232, 230)),
            ):
                turn = [(cos(pi * i / 7), sin(pi * i / 7)) for i in range(14)]
                layer.face([(x + a * reach, y + b * reach, up) for a, b in turn], colour)


def _lap(plate: Plate, studio: Studio, section: sweep.Section, y: float, colour: Colour) -> None:
    """Lap the next length of trim over this one: its end shows as a step."""
    over = tuple((outward, up + 0.003) for outward, up in section)
    Trim(section=over, line=((0.0, y), (0.0, 2.8)), colour=colour).stand(
        plate, studio.light, studio.rng
    )
    with plate.solids() as layer:
        for (a, up_a), (b, up_b) in itertools.pairwise(section):
            layer.face(
                [(a, y, up_a), (b, y, up_b), (b, y, up_b + 0.004), (a, y, up_a + 0.004)],
                (62, 64, 64),
            )


def _flashings(plate: Plate, studio: Studio, line: tuple[Point, Point]) -> None:
    """Dress lengths of simulated lead over the fillet, each lapped over the one beyond it."""
    rng, y, first = studio.rng, line[1][1], True
    ends = [line[1][1]]
    while y > line[0][1]:
        y -= 1.0 if not first else rng.uniform(0.5, 1.0)
        first = False
        ends.append(max(y, line[0][1]))
    for index, (far, near) in enumerate(itertools.pairwise(ends)):
        lift = 0.0015 * (index % 2)
        section = tuple((o - lift, z + lift) for o, z in sweep.FLASHING)
        Trim(
            section=section,
            line=((0.0, near), (0.0, far + 0.1)),
            colour=sweep.LEAD_GREY,
            shine=0.35,
        ).stand(plate, studio.light, rng)
        with plate.solids() as layer:
            for (a, za), (b, zb) in itertools.pairwise(section):
                layer.face(
                    [
                        (a, near, za),
                        (b, near, zb),
                        (b - 0.003, near, zb + 0.003),
                        (a - 0.003, near, za + 0.003),
                    ],
                    (44, 47, 52),
                )
