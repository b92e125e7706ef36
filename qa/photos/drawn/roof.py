"""The whole roof from a scaffold or a window: its shape, its edges, and what it mirrors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import dist

from PIL import Image, ImageChops

from qa.errors import DomainError
from qa.photos.drawn import gloss, sweep
from qa.photos.drawn.bounds import require
from qa.photos.drawn.brickwork import WALL_HEIGHT_M, house_wall
from qa.photos.drawn.camera import Camera, Point
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate, Solids
from qa.photos.drawn.studio import Studio
from qa.photos.drawn.sweep import Trim

ROOF_SCALE = 250

EAVES_M = 2.6

Covering = Callable[[Plan], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoofShape:
    """The outline of a roof and which of its edges meet a wall.

    Attributes:
        outline_m: corners, anticlockwise, m; 3 to 12 m across.
        walls: numbers of the edges at a wall; edge 0 runs from corner 0 to corner 1.
    """

    outline_m: tuple[Point, ...] = ((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0))
    walls: frozenset[int] = field(default_factory=lambda: frozenset({2}))

    def __post_init__(self) -> None:
        require("corners of a roof", len(self.outline_m), 3, 40)
        if not all(0 <= wall < len(self.outline_m) for wall in self.walls):
            raise DomainError("walls of a roof", sorted(self.walls), "numbers of its own edges")

    @property
    def edges(self) -> tuple[tuple[Point, Point, bool], ...]:
        """Each edge as start, end and whether it meets a wall."""
        ends = (*self.outline_m[1:], self.outline_m[0])
        return tuple(
            (a, b, i in self.walls)
            for i, (a, b) in enumerate(zip(self.outline_m, ends, strict=True))
        )

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """Left, near, right and far."""
        columns, rows = [x for x, _ in self.outline_m], [y for _, y in self.outline_m]
        return (min(columns), min(rows), max(columns), max(rows))


RECTANGLE = RoofShape()


def view(studio: Studio, shape: RoofShape, side: int) -> Camera:
    """Return a camera that stands off the roof.

    Args:
        studio: gives the plate, and how exactly the hand holds it.
        shape: the roof.
        side: 0 from the near left corner, 1 from the near right, 2 from the middle of the near
            edge, 3 from the left, 4 from the right.
    """
    left, near, right, far = shape.bounds_m
    wide, deep = right - left, far - near
    middle = ((left + right) / 2, (near + far) / 2)
    away = max(wide, deep)
    spots = (
        (left - 0.10 * away, near - 0.34 * away), (right + 0.10 * away, near - 0.34 * away),
        (middle[0], near - 0.46 * away), (left - 0.42 * away, near + 0.25 * deep),
        (right + 0.42 * away, near + 0.25 * deep),
    )  # fmt: skip
    x, y = spots[side % len(spots)]
    hand = studio.rng.uniform
    stands = (x + hand(-0.2, 0.2), y + hand(-0.2, 0.2), 0.38 * away + hand(-0.15, 0.3))
    looks = (middle[0] + 0.12 * (x - middle[0]), middle[1] + 0.08 * (y - middle[1]), 0.1)
    return studio.camera(stands, looks, 66.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Edging:
    """How the roof's edges look at this stage.

    Attributes:
        trims: whether trims are fitted.
        colour: colour of the trims.
        flashing: whether lead-grey flashing is dressed at the walls.
        fascia: colour of the boards below the edge.
    """

    trims: bool = True
    colour: Colour = sweep.GEL_GREY
    flashing: bool = False
    fascia: Colour = (228, 226, 220)


def roof(
    studio: Studio,
    shape: RoofShape,
    side: int,
    cover: Covering,
    edging: Edging,
) -> Plate:
    """Return a plate with the whole roof on it.

    Args:
        studio: the means.
        shape: the roof's outline and walls.
        side: where it is seen from.
        cover: draws the roof's surface on its plan.
        edging: how the edges look.
    """
    camera = view(studio, shape, side)
    plate = studio.plate_above_garden(camera, EAVES_M)
    left, near, right, far = shape.bounds_m
    plan = Plan(left, near, right, far, ROOF_SCALE)
    cover(plan)
    _wall_shadows(plan, shape, studio.light)
    plan.lit(studio.light)
    for a, b, wall in _by_distance(shape, camera):
        if wall and _outside(camera, a, b) < 0:
            _wall(studio, plate, a, b)
        elif not wall and _outside(camera, a, b) > 0:
            _below(studio, plate, a, b, edging.fascia)
    _surface(plate, plan, shape)
    if edging.trims:
        with plate.solids() as layer:
            for a, b, wall in _by_distance(shape, camera):
                _edge(layer, studio.light, (a, b), wall, edging)
    return plate


def mirror(studio: Studio, shape: RoofShape, camera: Camera) -> Plate:
    """Return what a mirror in the roof's place would show: the sky, and the house's walls."""
    plate = gloss.sky_mirror(camera, studio.light, studio.rng)
    for a, b, wall in _by_distance(shape, camera):
        if wall and _outside(camera, a, b) < 0:
            across = (a[0] - b[0], a[1] - b[1], 0.0)
            plate.lay(
                _lit_wall(studio.light, a, b),
                (*b, -WALL_HEIGHT_M),
                across,
                (0.0, 0.0, WALL_HEIGHT_M),
            )
    return plate


def shone(
    plate: Plate,
    studio: Studio,
    shape: RoofShape,
    wet: list[list[Point]] | Image.Image,
    strength: float,
) -> None:
    """Add the sky's and the house's reflection to the roof.

    Args:
        plate: the plate.
        studio: the means.
        shape: the roof.
        wet: outlines of what is wet, m, or a grey picture of the roof's bounds.
        strength: 1 for still water or resin, about 0.3 for a satin topcoat.
    """
    plan = Plan(*shape.bounds_m, 60)
    whole = plan.mask([shape.outline_m])
    some = wet.resize(plan.size) if isinstance(wet, Image.Image) else plan.mask(wet, 0.03)
    mask = gloss.wet_mask(plate.camera, plan, ImageChops.multiply(whole, some))
    gloss.shine(plate, mirror(studio, shape, plate.camera), strength, mask)


def _outside(camera: Camera, a: Point, b: Point) -> float:
    """Return how far the camera stands outside an edge of an anticlockwise outline, m."""
    length = dist(a, b)
    return (
        (b[1] - a[1]) * (camera.stands[0] - a[0]) - (b[0] - a[0]) * (camera.stands[1] - a[1])
    ) / length


def _by_distance(shape: RoofShape, camera: Camera) -> list[tuple[Point, Point, bool]]:
    def away(edge: tuple[Point, Point, bool]) -> float:
        (ax, ay), (bx, by), _ = edge
        return -dist(camera.stands[:2], ((ax + bx) / 2, (ay + by) / 2))

    return sorted(shape.edges, key=away)


def _surface(plate: Plate, plan: Plan, shape: RoofShape) -> None:
    picture = plan.image
    if len(shape.outline_m) != 4:
        picture = picture.copy()
        picture.putalpha(plan.mask([shape.outline_m]))
    plate.lay(
        picture, (plan.left_m, plan.far_m, 0.0), (plan.right_m - plan.left_m, 0.0, 0.0),
        (0.0, plan.near_m - plan.far_m, 0.0),
    )  # fmt: skip


def _wall_shadows(plan: Plan, shape: RoofShape, light: Light) -> None:
    """Darken the roof where a wall keeps the sky and the sun off it."""
    for a, b, wall in shape.edges:
        if not wall:
            continue
        length = dist(a, b)
        inward = ((a[1] - b[1]) / length, (b[0] - a[0]) / length)
        plan.shadow([_beside(a, b, inward, 0.35)], 0.16, 0.34)
        reach = (
            -(light.sun[0] * inward[0] + light.sun[1] * inward[1])
            * WALL_HEIGHT_M
            / max(0.2, light.sun[2])
        )
        if reach < 0 and light.direct > 0.2:
            drift = (
                -light.sun[0] * WALL_HEIGHT_M / max(0.2, light.sun[2]),
                -light.sun[1] * WALL_HEIGHT_M / max(0.2, light.sun[2]),
            )
            cast = [a, b, (b[0] + drift[0], b[1] + drift[1]), (a[0] + drift[0], a[1] + drift[1])]
            plan.shadow([cast], 0.02, 0.5 * light.direct)


def _beside(a: Point, b: Point, inward: Point, depth: float) -> list[Point]:
    return [
        a,
        b,
        (b[0] + inward[0] * depth, b[1] + inward[1] * depth),
        (a[0] + inward[0] * depth, a[1] + inward[1] * depth),
    ]


def _lit_wall(light: Light, a: Point, b: Point) -> Image.Image:
    length = dist(a, b)
    gain = light.on(((a[1] - b[1]) / length, (b[0] - a[0]) / length, 0.0)) / 0.62
    return house_wall(round(length * 10)).point([min(255, round(i * gain)) for i in range(256)] * 3)


def _wall(studio: Studio, plate: Plate, a: Point, b: Point) -> None:
    """Stand the house's wall on an edge; seen from the roof, the edge runs from right to left."""
    wall = _lit_wall(studio.light, a, b)
    plate.lay(
        wall, (*b, WALL_HEIGHT_M), (a[0] - b[0], a[1] - b[1], 0.0), (0.0, 0.0, -WALL_HEIGHT_M)
    )


def _below(studio: Studio, plate: Plate, a: Point, b: Point, colour: Colour) -> None:
    """Draw what is below a free edge: the wall of the extension and its fascia."""
    length = dist(a, b)
    normal = ((b[1] - a[1]) / length, (a[0] - b[0]) / length, 0.0)
    gain = studio.light.on(normal) / 0.72
    wall = house_wall(round(length * 10)).point([min(255, round(i * gain)) for i in range(256)] * 3)
    across = (b[0] - a[0], b[1] - a[1], 0.0)
    plate.lay(wall, (*a, -0.15), across, (0.0, 0.0, 0.15 - EAVES_M))
    with plate.solids() as layer:
        out = 0.03
        top = [(p[0] + normal[0] * out, p[1] + normal[1] * out) for p in (a, b)]
        layer.face([(*a, 0.0), (*b, 0.0), (*top[1], 0.0), (*top[0], 0.0)], tinted(colour, 0.8))
        layer.face(
            [(*top[0], 0.0), (*top[1], 0.0), (*top[1], -0.20), (*top[0], -0.20)],
            tinted(colour, gain * 0.85),
        )
        layer.face([(*top[0], -0.20), (*top[1], -0.20), (*b, -0.22), (*a, -0.22)], (70, 68, 64))


def _edge(
    layer: Solids, light: Light, line: tuple[Point, Point], wall: bool, edging: Edging
) -> None:
    """Fit one edge's trim where the camera can see it."""
    a, b = line
    if wall:
        if _outside(layer.camera, a, b) < 0:
            Trim(section=sweep.WALL_FILLET, line=line, colour=edging.colour, shine=0.5).outline(
                layer, light
            )
            if edging.flashing:
                Trim(section=sweep.FLASHING, line=line, colour=sweep.LEAD_GREY, shine=0.3).outline(
                    layer, light
                )
        return
    section = sweep.DRIP_EDGE if b[0] - a[0] > abs(b[1] - a[1]) else sweep.RAISED_EDGE
    Trim(section=section, line=line, colour=edging.colour, shine=0.6).outline(layer, light)
