"""The whole roof from a scaffold or a window: its shape, its edges, and what lies on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import cos, dist, pi, sin
from random import Random

from PIL import Image

from qa.photos.drawn import boards, gloss, noise, sweep
from qa.photos.drawn.camera import Camera, Point
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate, Solids
from qa.photos.drawn.studio import Studio
from qa.photos.drawn.surroundings import WALL_HEIGHT_M, house_wall
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
        if len(self.outline_m) < 3 or not all(0 <= w < len(self.outline_m) for w in self.walls):
            raise ValueError("a roof has three corners or more, and walls only at its own edges")

    @property
    def edges(self) -> tuple[tuple[Point, Point, bool], ...]:
        """Each edge as start, end and whether it meets a wall."""
        ends = (*self.outline_m[1:], self.outline_m[0])
        return tuple(
            (a, b, i in self.walls) for i, (a, b) in enumerate(zip(self.outline_m, ends, strict=True))
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
    studio: Studio, shape: RoofShape, side: int, cover: Covering, edging: Edging, open_deck: bool = False
) -> Plate:
    """Return a plate with the whole roof on it.

    Args:
        studio: the means.
        shape: the roof's outline and walls.
        side: where it is seen from.
        cover: draws the roof's surface on its plan.
        edging: how the edges look.
        open_deck: leave out the fascia's shadow line, for joists still open.
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
                _lit_wall(studio.light, a, b), (*b, -WALL_HEIGHT_M), across, (0.0, 0.0, WALL_HEIGHT_M)
            )
    return plate


def _outside(camera: Camera, a: Point, b: Point) -> float:
    """Return how far the camera stands outside an edge of an anticlockwise outline, m."""
    length = dist(a, b)
    return ((b[1] - a[1]) * (camera.stands[0] - a[0]) - (b[0] - a[0]) * (camera.stands[1] - a[1])) / length


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
        reach = -(light.sun[0] * inward[0] + light.sun[1] * inward[1]) * WALL_HEIGHT_M / max(0.2, light.sun[2])
        if reach < 0 and light.direct > 0.2:
            drift = -light.sun[0] * WALL_HEIGHT_M / max(0.2, light.sun[2]), -light.sun[1] * WALL_HEIGHT_M / max(0.2, light.sun[2])
            cast = [a, b, (b[0] + drift[0], b[1] + drift[1]), (a[0] + drift[0], a[1] + drift[1])]
            plan.shadow([cast], 0.02, 0.5 * light.direct)


def _beside(a: Point, b: Point, inward: Point, depth: float) -> list[Point]:
    return [a, b, (b[0] + inward[0] * depth, b[1] + inward[1] * depth), (a[0] + inward[0] * depth, a[1] + inward[1] * depth)]


def _lit_wall(light: Light, a: Point, b: Point) -> Image.Image:
    length = dist(a, b)
    gain = light.on(((a[1] - b[1]) / length, (b[0] - a[0]) / length, 0.0)) / 0.62
    return house_wall(round(length * 10)).point([min(255, round(i * gain)) for i in range(256)] * 3)


def _wall(studio: Studio, plate: Plate, a: Point, b: Point) -> None:
    """Stand the house's wall on an edge; seen from the roof, the edge runs from right to left."""
    wall = _lit_wall(studio.light, a, b)
    plate.lay(wall, (*b, WALL_HEIGHT_M), (a[0] - b[0], a[1] - b[1], 0.0), (0.0, 0.0, -WALL_HEIGHT_M))


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
        layer.face([(*top[0], 0.0), (*top[1], 0.0), (*top[1], -0.20), (*top[0], -0.20)], tinted(colour, gain * 0.85))
        layer.face([(*top[0], -0.20), (*top[1], -0.20), (*b, -0.22), (*a, -0.22)], (70, 68, 64))


def _edge(
    layer: Solids, light: Light, line: tuple[Point, Point], wall: bool, edging: Edging
) -> None:
    """Fit one edge's trim where the camera can see it."""
    a, b = line
    if wall:
        if _outside(layer.camera, a, b) < 0:
            Trim(section=sweep.WALL_FILLET, line=line, colour=edging.colour, shine=0.5).outline(layer, light)
            if edging.flashing:
                Trim(section=sweep.FLASHING, line=line, colour=sweep.LEAD_GREY, shine=0.3).outline(layer, light)
        return
    section = sweep.DRIP_EDGE if b[0] - a[0] > abs(b[1] - a[1]) else sweep.RAISED_EDGE
    Trim(section=section, line=line, colour=edging.colour, shine=0.6).outline(layer, light)


def felt(plan: Plan, rng: Random) -> None:
    """Draw an old covering: mineral felt with laps, blisters, moss, patches and stains."""
    base = noise.weathered(Image.new("RGB", plan.size, (122, 128, 122)), noise.grain(rng, plan.size), 0.42)
    base = noise.weathered(base, noise.clouds(rng, plan.size, 0.8, noise.ROUGH), 0.42)
    plan.image = base
    y = plan.near_m + rng.uniform(0.5, 0.9)
    while y < plan.far_m:
        wave = [(plan.left_m + i * 0.25, y + rng.uniform(-0.012, 0.012)) for i in range(int((plan.right_m - plan.left_m) / 0.25) + 2)]
        plan.shadow([[*wave, *[(a, b - 0.05) for a, b in reversed(wave)]]], 0.012, 0.4)
        plan.draw.line(plan.outline(wave), fill=(46, 46, 44), width=4)
        plan.draw.line(plan.outline([(a, b + 0.02) for a, b in wave]), fill=(132, 136, 128), width=2)
        y += 0.92
    _stains(plan, rng)


def _stains(plan: Plan, rng: Random) -> None:
    """Add ponding marks, moss along the laps, blisters and a tarred patch."""
    for _ in range(4):
        blot = noise.contrast(noise.clouds(rng, plan.size, 1.2, noise.MIXED), 160, 200)
        plan.image = noise.shaded(plan.image, noise.squeezed(blot, 255, 205))
    moss = noise.contrast(Image.blend(noise.clouds(rng, plan.size, 0.9, noise.MIXED), noise.clouds(rng, plan.size, 0.12, noise.ROUGH), 0.5), 150, 172)
    green = noise.weathered(Image.new("RGB", plan.size, (92, 104, 48)), noise.grain(rng, plan.size), 0.4)
    plan.image = Image.composite(green, plan.image, moss)
    for _ in range(rng.randint(5, 9)):
        x, y = rng.uniform(plan.left_m + 0.4, plan.right_m - 0.4), rng.uniform(plan.near_m + 0.4, plan.far_m - 0.4)
        r = rng.uniform(0.06, 0.2)
        disc = [(x + r * cos(i / 8 * pi) * 1.3, y + r * sin(i / 8 * pi)) for i in range(16)]
        plan.shadow([[(a + 0.02, b - 0.02) for a, b in disc]], 0.02, 0.3)
        light = plan.mask([[(a - 0.015, b + 0.015) for a, b in disc]], 0.03)
        plan.image = noise.weathered(plan.image, light.point([128 + i // 16 for i in range(256)]), 1.0)
    x, y = rng.uniform(plan.left_m + 1, plan.right_m - 2), rng.uniform(plan.near_m + 0.8, plan.far_m - 1.2)
    patch = [(x, y), (x + 1.0, y + 0.06), (x + 0.96, y + 0.62), (x - 0.05, y + 0.55)]
    dark = Image.new("RGB", plan.size, (44, 44, 45))
    plan.image = Image.composite(noise.weathered(dark, noise.grain(rng, plan.size), 0.2), plan.image, plan.mask([patch], 0.012))


def joists_under(plan: Plan, rng: Random, centres_m: float, noggins: bool) -> None:
    """Draw the open roof from above: joists, the ceiling far below, insulation between."""
    plan.image = Image.new("RGB", plan.size, (52, 46, 40))
    wool = noise.weathered(Image.new("RGB", plan.size, (176, 152, 88)), noise.clouds(rng, plan.size, 0.15, noise.ROUGH), 0.5)
    plan.image = Image.blend(plan.image, wool, 0.7)
    x = plan.left_m + 0.025
    lines = []
    while x < plan.right_m:
        lines.append(x)
        x += centres_m
    for x in lines:
        plan.shadow([[(x - 0.03, plan.near_m), (x + 0.14, plan.near_m), (x + 0.14, plan.far_m), (x - 0.03, plan.far_m)]], 0.03, 0.5)
    if noggins:
        for x in lines[:-1]:
            y = (plan.near_m + plan.far_m) / 2 + rng.choice((-0.05, 0.05))
            _timber_at(plan, rng, (x, y - 0.024), (x + centres_m, y + 0.024), False)
    for x in lines:
        _timber_at(plan, rng, (x - 0.024, plan.near_m), (x + 0.024, plan.far_m), True)


def _timber_at(plan: Plan, rng: Random, low: Point, high: Point, upright: bool) -> None:
    left, bottom = plan.at(*low)
    right, top = plan.at(*high)
    size = (max(2, round(right - left)), max(2, round(bottom - top)))
    tone = rng.choice(((206, 172, 122), (196, 160, 112), (178, 146, 104)))
    if upright:
        wood = boards.timber(rng, (size[1], size[0]), tone).transpose(Image.Transpose.ROTATE_90)
    else:
        wood = boards.timber(rng, size, tone)
    plan.image.paste(wood, (round(left), round(top)))


