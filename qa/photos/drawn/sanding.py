"""Between laminate and topcoat: sanding and wiping."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from qa.photos.drawn import glass, hand_tools, noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.laminate_details import BAY_SCALE, bay_deck
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Solids
from qa.photos.drawn.studio import Exposure, Studio


def wavering(rng: Random, plan: Plan, y_m: float, wander_m: float) -> list[Point]:
    """Return a wavering line across a plan."""
    steps = 18
    return [
        (
            plan.left_m - 0.1 + (plan.right_m - plan.left_m + 0.2) * i / steps,
            y_m + rng.uniform(-wander_m, wander_m),
        )
        for i in range(steps + 1)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sanding:
    """A cured laminate being sanded: dull swirls, dust, the block set down."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(1.0, 50.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        cured_floor(studio, plan)
        line = wavering(rng, plan, 0.12, 0.06)
        done = [
            (plan.left_m - 1, plan.near_m - 1),
            (plan.right_m + 1, plan.near_m - 1),
            *reversed(line),
        ]
        sanded(plan, rng, plan.mask([done], 0.03))
        spot = (rng.uniform(-0.05, 0.2), 0.05)
        _dust(plan, rng, line)
        left, right, near, far = spot[0] - 0.12, spot[0] + 0.13, spot[1] - 0.07, spot[1] + 0.05
        plan.shadow([[(left, near), (right, near), (right, far), (left, far)]], 0.012, 0.5)
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        with plate.solids() as layer:
            _block(layer, light, spot, rng.uniform(-0.3, 0.3))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))


def _block(layer: Solids, light: Light, spot: Point, turn: float) -> None:
    """Set down a sanding block, its paper turned up at both ends."""
    paper, wood = ((112, 62, 44), (146, 84, 60)), ((188, 152, 104), (206, 172, 122))
    hand_tools.box(layer, light, (*spot, 0.0), (0.23, 0.095, 0.006), turn, paper)
    hand_tools.box(layer, light, (*spot, 0.006), (0.215, 0.085, 0.034), turn, wood)
    for side in (-0.1, 0.1):
        place = (spot[0] + side * cos(turn), spot[1] + side * sin(turn), 0.0)
        hand_tools.box(layer, light, place, (0.02, 0.09, 0.043), turn, paper)


def cured_floor(studio: Studio, plan: Plan) -> None:
    """Cover a plan with boards under a cured laminate."""
    bay_deck(studio, plan, studio.rng.uniform(-0.3, 0.2), studio.rng.uniform(-0.4, 0.4))
    plan.image = glass.cured(plan.image, glass.mat_cut(studio.rng, plan.size, BAY_SCALE))


def sanded(plan: Plan, rng: Random, mask: Image.Image) -> None:
    """Dull a surface inside a mask with swirls of coarse paper."""
    swirls = Image.new("L", plan.size, 118)
    pen = ImageDraw.Draw(swirls)
    for _ in range(1500):
        x, y = rng.uniform(0, plan.size[0]), rng.uniform(0, plan.size[1])
        r, turn = rng.uniform(30, 130), rng.uniform(0, 360)
        pen.arc(
            (x - r, y - r, x + r, y + r),
            turn,
            turn + rng.uniform(20, 70),
            fill=rng.randint(120, 205),
            width=1,
        )
    pale = Image.blend(plan.image, Image.new("RGB", plan.size, (206, 202, 186)), 0.34)
    pale = noise.weathered(pale, swirls, 0.32)
    plan.image = Image.composite(pale, plan.image, mask)


def _dust(plan: Plan, rng: Random, line: list[Point]) -> None:
    """Heap sanding dust along the line that the block has reached, and blow some about."""
    ridge = [(x, y - 0.02) for x, y in line]
    heap = plan.mask([[*line, *[(x, y - 0.06) for x, y in reversed(ridge)]]], 0.02)
    ragged = noise.contrast(
        Image.blend(heap, noise.clouds(rng, plan.size, 0.12, noise.ROUGH), 0.5), 118, 190
    )
    ragged = ImageChops.multiply(
        ragged, noise.contrast(noise.grain(rng, plan.size).filter(ImageFilter.BoxBlur(1)), 60, 150)
    )
    veil = noise.contrast(noise.clouds(rng, plan.size, 0.5, noise.ROUGH), 130, 255).point(
        [i // 3 for i in range(256)]
    )
    white = Image.new("RGB", plan.size, (238, 234, 222))
    plan.image = Image.composite(white, plan.image, ImageChops.lighter(ragged, veil))


@dataclass(frozen=True, slots=True, kw_only=True)
class WipedSurface:
    """A sanded laminate wiped clean: even and dull, the last of the solvent drying, a cloth."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(1.1, 48.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        cured_floor(studio, plan)
        sanded(plan, rng, Image.new("L", plan.size, 190))
        area = self._sweeps()
        damp = plan.image.point([round(i * 0.76) for i in range(256)] * 3)
        mask = noise.contrast(
            Image.blend(
                plan.mask(area, 0.012), noise.clouds(rng, plan.size, 0.3, noise.ROUGH), 0.28
            ),
            84,
            150,
        )
        plan.image = Image.composite(damp, plan.image, mask)
        x, y = 0.26, 0.0
        cloth = self._cloth(plan, rng, (x, y))
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        plate.lay(cloth, (x - 0.14, y + 0.11, 0.012), (0.28, 0.0, 0.0), (0.0, -0.22, 0.0))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))

    @staticmethod
    def _sweeps() -> list[list[Point]]:
        """Return the arcs that an arm wipes."""
        arcs = []
        for row in range(3):
            radius = 0.42 + 0.11 * row
            turns = [0.15 * pi + 0.62 * pi * i / 16 for i in range(17)]
            middle = (-0.05, -0.42)
            outer = [
                (middle[0] + (radius + 0.05) * cos(t), middle[1] + (radius + 0.05) * sin(t))
                for t in turns
            ]
            inner = [
                (middle[0] + (radius - 0.045) * cos(t), middle[1] + (radius - 0.045) * sin(t))
                for t in turns
            ]
            arcs.append([*outer, *reversed(inner)])
        return arcs

    @staticmethod
    def _cloth(plan: Plan, rng: Random, at_m: Point) -> Image.Image:
        """Return a crumpled cloth, RGBA, and darken the surface under it."""
        size = (560, 440)
        mask = Image.new("L", size)
        pen = ImageDraw.Draw(mask)
        rim = []
        for i in range(40):
            turn, swell = 2 * pi * i / 40, rng.uniform(0.80, 1.0)
            rim.append((280 + 262 * swell * cos(turn), 220 + 205 * swell * sin(turn)))
        pen.polygon(rim, fill=255)
        mask = mask.filter(ImageFilter.GaussianBlur(4)).point(
            [255 if i > 120 else i // 3 for i in range(256)]
        )
        relief = noise.folds(rng, size, 26)
        cloth = noise.weathered(
            Image.new("RGB", size, rng.choice(((206, 204, 198), (158, 172, 188)))), relief, 0.5
        )
        cloth.putalpha(mask)
        x, y = at_m
        plan.shadow(
            [[(x + 0.135 * cos(i / 3) + 0.01, y + 0.10 * sin(i / 3) - 0.014) for i in range(19)]],
            0.014,
            0.5,
        )
        return cloth
