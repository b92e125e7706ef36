"""Close views of the laminate: a bay while it is transparent, its defects, and their repair."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from qa.photos.drawn import boards, glass, gloss, noise, sweep
from qa.photos.drawn.bounds import require
from qa.photos.drawn.brickwork import WALL_HEIGHT_M, brickwork, house_wall
from qa.photos.drawn.camera import Camera, Point
from qa.photos.drawn.light import tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.sweep import Trim
from qa.photos.drawn.tape import Tape

BAY_SCALE = 1000
"""Pixels for each metre of a bay seen as a whole."""

CLOSE_SCALE = 4800
"""Pixels for each metre where pinholes are looked for."""

CRAYON = (44, 62, 122)


def bay_deck(studio: Studio, plan: Plan, joint_y_m: float, butt_x_m: float) -> None:
    """Cover a plan with the boards of a bay and their nails."""
    rng = studio.rng
    rows = int((plan.far_m - plan.near_m) / 0.6) + 2
    for row in range(rows):
        y = plan.near_m - (joint_y_m - plan.near_m) % 0.6 + 0.6 * row
        x = plan.left_m + (butt_x_m - plan.left_m + 0.8 * (row % 3)) % 2.4 - 2.4
        while x < plan.right_m:
            boards.board_over(plan, rng, x, y)
            x += 2.4
    nails = [(x * 0.4 - 2.1, y * 0.2 - 1.1) for x in range(11) for y in range(16)]
    boards.nails_at(plan, rng, nails)


@dataclass(frozen=True, slots=True, kw_only=True)
class TransparentBay:
    """A bay well wetted out: glassy, its strands only just to be seen over the boards."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        site = BaySite.chosen(studio, 1.35)
        plan, mat = _wet_bay(studio, site)
        return _shining(studio, site, plan, mat)


@dataclass(frozen=True, slots=True, kw_only=True)
class BaySite:
    """Where a bay is photographed: the camera, and what stands behind the bay.

    Attributes:
        camera: the camera.
        end_m: how far the roof goes on behind the bay.
        wall: whether it ends at a wall, or else at a raised edge.
    """

    camera: Camera
    end_m: float
    wall: bool

    @classmethod
    def chosen(cls, studio: Studio, width_m: float) -> BaySite:
        """Return a place at random."""
        camera = studio.over(width_m, studio.rng.uniform(41, 49))
        return cls(
            camera=camera, end_m=studio.rng.uniform(0.85, 1.15), wall=studio.rng.random() < 0.6
        )


def _wet_bay(studio: Studio, site: BaySite) -> tuple[Plan, glass.Mat]:
    rng = studio.rng
    seen = studio.plan_under(site.camera, BAY_SCALE)
    plan = Plan(seen.left_m, seen.near_m, seen.right_m, min(seen.far_m, site.end_m), BAY_SCALE)
    bay_deck(studio, plan, rng.uniform(-0.35, 0.25), rng.uniform(-0.4, 0.5))
    mat = glass.mat_cut(rng, plan.size, BAY_SCALE)
    plan.image = glass.wetted(plan.image, mat)
    return plan, mat


def _shining(
    studio: Studio, site: BaySite, plan: Plan, mat: glass.Mat, wet: float = 1.0
) -> Exposure:
    """Set a wet bay before what stands behind it, and let it mirror that."""
    light, rng = studio.light, studio.rng
    gloss.glint(plan, mat, light, rng, 0.9 * wet)
    plan.lit(light)
    plate = studio.plate(site.camera) if site.wall else studio.plate_above_garden(site.camera)
    mirror = gloss.sky_mirror(site.camera, light, rng)
    left, right = plan.left_m - 1, plan.right_m + 1
    if site.wall:
        wall = brickwork(6.0, 0.9, 500, (158, 98, 76))
        gain = light.on((0.0, -1.0, 0.0)) / 0.62
        wall = wall.point([min(255, round(i * gain)) for i in range(256)] * 3)
        plate.lay(wall, (-3.0, site.end_m, 0.9), (6.0, 0.0, 0.0), (0.0, 0.0, -0.9))
        house = house_wall(60).point([min(255, round(i * gain)) for i in range(256)] * 3)
        left_m = -3.7 + rng.uniform(-0.5, 0.5)
        mirror.lay(
            house, (left_m, site.end_m, -WALL_HEIGHT_M), (6.0, 0.0, 0.0), (0.0, 0.0, WALL_HEIGHT_M)
        )
    plan.stand(plate)
    mask = gloss.wet_mask(site.camera, plan, Image.new("L", (64, 64), 255))
    gloss.shine(plate, mirror, 0.8 * wet, mask)
    section = sweep.WALL_FILLET if site.wall else sweep.RAISED_EDGE
    Trim(section=section, line=((right, site.end_m), (left, site.end_m))).stand(plate, light, rng)
    return Exposure(plate=plate, sharp_rows=(0.2, 0.97))


@dataclass(frozen=True, slots=True, kw_only=True)
class WhitePatches:
    """A bay with places where the mat is not wetted out.

    Attributes:
        patches: how many, 1 to 12.
        repaired: seen again after more resin was worked in.
    """

    patches: int = 3
    repaired: bool = False

    def __post_init__(self) -> None:
        require("white patches", self.patches, 1, 12)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        site = BaySite.chosen(studio, 1.25)
        plan, mat = _wet_bay(studio, site)
        rng = Random(studio.rng.random())
        spots = plan.outline(glass.spots(rng, (0.42, 0.24), self.patches))
        mask = glass.blots(rng, plan.size, spots, 0.085)
        if self.repaired:
            _flooded(plan, mask)
        else:
            dry = glass.dry_mat(rng, plan.size, BAY_SCALE)
            mask = glass.frayed(mask, mat)
            plan.image = Image.composite(
                dry, plan.image, mask.point([i * 205 // 255 for i in range(256)])
            )
        for x, y in spots:
            reach = rng.uniform(0.075, 0.095) * plan.size[0]
            crayon_ring(plan, (x, y), (reach, reach * rng.uniform(0.75, 0.95)), rng)
        return _shining(studio, site, plan, mat)


def _flooded(plan: Plan, mask: Image.Image) -> None:
    """Show fresh resin where a defect was: deeper in colour, its rim catching the light."""
    rich = plan.image.point([round(i * 0.93) for i in range(256)] * 3).filter(
        ImageFilter.BoxBlur(1)
    )
    wide = mask.filter(ImageFilter.GaussianBlur(14)).point([min(255, i * 2) for i in range(256)])
    plan.image = Image.composite(rich, plan.image, wide)
    rim = wide.filter(ImageFilter.Kernel((3, 3), (1, 1, 0, 1, 0, -1, 0, -1, -1), 1, 0))
    rim = rim.filter(ImageFilter.GaussianBlur(1.5)).point([min(44, i * 2) for i in range(256)])
    plan.image = ImageChops.screen(plan.image, noise.rgb(rim))


def crayon_ring(
    plan: Plan, middle: tuple[float, float], reach: tuple[float, float], rng: Random
) -> None:
    """Draw a hasty ring in crayon, a little open and not quite round."""
    layer = Image.new("L", plan.size)
    pen = ImageDraw.Draw(layer)
    width = max(4, plan.size[0] // 190)
    phase = rng.uniform(0, 2 * pi)
    ring = []
    for step in range(50):
        turn = phase + step / 47 * 2 * pi
        swell = 1 + 0.05 * sin(2 * turn + phase) + 0.02 * rng.uniform(-1, 1) + step * 0.0012
        ring.append(
            (middle[0] + cos(turn) * reach[0] * swell, middle[1] + sin(turn) * reach[1] * swell)
        )
    pen.line(ring, fill=215, width=width, joint="curve")
    waxy = ImageChops.multiply(
        layer.filter(ImageFilter.BoxBlur(1)),
        noise.contrast(noise.grain(rng, plan.size).filter(ImageFilter.BoxBlur(1)), 60, 150),
    )
    plan.image.paste(CRAYON, (0, 0), waxy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinholes:
    """Pinholes in a laminate, ringed, with a tape beside them.

    Attributes:
        count: how many are in the ring, 1 to 60.
        repaired: seen again after they were sealed with resin.
    """

    count: int = 9
    repaired: bool = False

    def __post_init__(self) -> None:
        require("pinholes", self.count, 1, 60)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.30, 60)
        plan = studio.plan_under(camera, CLOSE_SCALE)
        near = (max(2, plan.size[0] // 3), max(2, plan.size[1] // 3))
        deck = boards.strand_cut(rng, near, 1600).resize(plan.size, Image.Resampling.BICUBIC)
        mat = glass.mat_cut(rng, plan.size, CLOSE_SCALE, 2)
        plan.image = glass.wetted(deck, mat, 0.13, 0.2)
        chance = Random(rng.random())
        holes = self._places(plan, chance)
        if self.repaired:
            _flooded(plan, _dots(plan, holes, 26.0))
        else:
            for x, y in holes:
                _pinhole(plan, x, y, chance.uniform(3.4, 8.0))
        crayon_ring(plan, plan.at(0.0, 0.012), (0.058 * CLOSE_SCALE, 0.043 * CLOSE_SCALE), chance)
        tape = Tape(hook_m=(-0.10, -0.082), heading_deg=chance.uniform(-3, 3), length_mm=300)
        tape.shadow(plan, light)
        gloss.glint(plan, mat, light, chance, 0.7)
        plan.lit(light)
        plate = studio.plate(camera)
        plan.stand(plate)
        gloss.shine(
            plate, gloss.sky_mirror(camera, light, chance), 0.5, Image.new("L", plate.size, 255)
        )
        tape.stand(plate, light)
        return Exposure(plate=plate, sharp_rows=(0.2, 0.9))

    def _places(self, plan: Plan, rng: Random) -> list[Point]:
        """Return the holes' pixels, all inside the ring."""
        x, y = plan.at(0.0, 0.012)
        reach = 0.042 * CLOSE_SCALE
        places = []
        for _ in range(self.count):
            turn, away = rng.uniform(0, 2 * pi), reach * rng.random()
            places.append((x + away * cos(turn), y + away * sin(turn) * 0.7))
        return places


def _dots(plan: Plan, places: list[Point], radius: float) -> Image.Image:
    mask = Image.new("L", plan.size)
    pen = ImageDraw.Draw(mask)
    for x, y in places:
        pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=255)
    return mask.filter(ImageFilter.GaussianBlur(6))


def _pinhole(plan: Plan, x: float, y: float, radius: float) -> None:
    """Draw one hole: a raised lip that catches the light, and the dark inside."""
    pen = plan.draw
    for reach, colour in ((1.9, (136, 116, 74)), (1.45, (222, 212, 176)), (1.0, (38, 26, 16))):
        r = radius * reach
        shift = radius * 0.22 if reach == 1.45 else 0.0
        pen.ellipse(
            (x - r + shift, y - r + shift, x + r + shift, y + r + shift), fill=tinted(colour, 1.0)
        )
