"""Work in hand, the worker out of the picture: rolling the mat, sanding, wiping, rolling topcoat."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from qa.photos.drawn import glass, gloss, noise, tools
from qa.photos.drawn.camera import Point
from qa.photos.drawn.laminate_details import BAY_SCALE, bay_deck
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.studio import Exposure, Studio

GREY_COAT: Colour = (112, 117, 121)


def _front(rng: Random, plan: Plan, y_m: float, wander_m: float) -> list[Point]:
    """Return a wavering line across a plan."""
    steps = 18
    return [
        (plan.left_m - 0.1 + (plan.right_m - plan.left_m + 0.2) * i / steps, y_m + rng.uniform(-wander_m, wander_m))
        for i in range(steps + 1)
    ]


def _wet_and_lit(
    studio: Studio, plan: Plan, plate: Plate, area: list[Point], strength: float
) -> None:
    """Throw a plan on the plate and let an area of it mirror the sky."""
    plan.lit(studio.light)
    plan.stand(plate)
    small = Plan(plan.left_m, plan.near_m, plan.right_m, plan.far_m, 120)
    mask = gloss.wet_mask(plate.camera, small, small.mask([area], 0.012))
    gloss.shine(plate, gloss.sky_mirror(plate.camera, studio.light, studio.rng), strength, mask)


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerAtWork:
    """A ridged roller on the line between clear laminate and mat still white."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(1.05, 47.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        bay_deck(studio, plan, rng.uniform(-0.3, 0.2), rng.uniform(-0.4, 0.4))
        mat = glass.mat_cut(rng, plan.size, BAY_SCALE)
        clear = glass.wetted(plan.image, mat, 0.13, 0.2)
        soaking = Image.blend(glass.wetted(plan.image, mat, 0.5, 0.25), Image.new("RGB", plan.size, (214, 206, 176)), 0.25)
        dry = glass.dry_mat(rng, plan.size, BAY_SCALE)
        line = _front(rng, plan, 0.06, 0.03)
        beyond = [(x, y + 0.16 + rng.uniform(-0.04, 0.05)) for x, y in line]
        far = [(plan.right_m + 0.1, plan.far_m + 1), (plan.left_m - 0.1, plan.far_m + 1)]
        plan.image = Image.composite(soaking, clear, glass.frayed(plan.mask([[*line, *far]], 0.02), mat))
        plan.image = Image.composite(dry, plan.image, glass.frayed(plan.mask([[*beyond, *far]], 0.03), mat))
        turn = rng.uniform(-0.14, 0.14)
        x, y = rng.uniform(-0.1, 0.04), 0.055
        axle = ((x - 0.09, y - 0.09 * turn, 0.024), (x + 0.09, y + 0.09 * turn, 0.024))
        grip = (x + rng.uniform(0.02, 0.16), y - 0.36, 0.15)
        tools.shadow_of_roller(plan, light, axle, grip)
        gloss.glint(plan, mat, light, rng, 0.6)
        plate = studio.plate_above_garden(camera)
        near = [(plan.left_m - 1, plan.near_m - 1), (plan.right_m + 1, plan.near_m - 1), *reversed(line)]
        _wet_and_lit(studio, plan, plate, near, 0.85)
        with plate.solids() as layer:
            tools.roller(layer, axle, 0.024, grip, True, (196, 198, 202), (152, 62, 44))
        return Exposure(plate=plate, sharp_rows=(0.2, 0.97))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sanding:
    """A cured laminate being sanded: dull swirls, dust, the block set down."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(1.0, 50.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        cured_floor(studio, plan)
        line = _front(rng, plan, 0.12, 0.06)
        done = [(plan.left_m - 1, plan.near_m - 1), (plan.right_m + 1, plan.near_m - 1), *reversed(line)]
        sanded(plan, rng, plan.mask([done], 0.03))
        spot = (rng.uniform(-0.05, 0.2), 0.05)
        _dust(plan, rng, line)
        plan.shadow([[(spot[0] - 0.12, spot[1] - 0.07), (spot[0] + 0.13, spot[1] - 0.06), (spot[0] + 0.13, spot[1] + 0.05), (spot[0] - 0.11, spot[1] + 0.05)]], 0.012, 0.5)
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        with plate.solids() as layer:
            turn = rng.uniform(-0.3, 0.3)
            tools.box(layer, light, (*spot, 0.0), (0.23, 0.095, 0.006), turn, ((112, 62, 44), (146, 84, 60)))
            tools.box(layer, light, (*spot, 0.006), (0.215, 0.085, 0.034), turn, ((188, 152, 104), (206, 172, 122)))
            for side in (-0.1, 0.1):
                place = (spot[0] + side * cos(turn), spot[1] + side * sin(turn), 0.0)
                tools.box(layer, light, place, (0.02, 0.09, 0.043), turn, ((120, 66, 48), (140, 80, 58)))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))


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
        pen.arc((x - r, y - r, x + r, y + r), turn, turn + rng.uniform(20, 70), fill=rng.randint(120, 205), width=1)
    pale = Image.blend(plan.image, Image.new("RGB", plan.size, (206, 202, 186)), 0.34)
    pale = noise.weathered(pale, swirls, 0.32)
    plan.image = Image.composite(pale, plan.image, mask)


def _dust(plan: Plan, rng: Random, line: list[Point]) -> None:
    """Heap sanding dust along the line that the block has reached, and blow some about."""
    ridge = [(x, y - 0.02) for x, y in line]
    heap = plan.mask([[*line, *[(x, y - 0.06) for x, y in reversed(ridge)]]], 0.02)
    ragged = noise.contrast(Image.blend(heap, noise.clouds(rng, plan.size, 0.12, noise.ROUGH), 0.5), 118, 190)
    ragged = ImageChops.multiply(ragged, noise.contrast(noise.grain(rng, plan.size).filter(ImageFilter.BoxBlur(1)), 60, 150))
    veil = noise.contrast(noise.clouds(rng, plan.size, 0.5, noise.ROUGH), 130, 255).point([i // 3 for i in range(256)])
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
        area = self._sweeps(plan, rng)
        damp = plan.image.point([round(i * 0.76) for i in range(256)] * 3)
        mask = noise.contrast(Image.blend(plan.mask(area, 0.012), noise.clouds(rng, plan.size, 0.3, noise.ROUGH), 0.28), 84, 150)
        plan.image = Image.composite(damp, plan.image, mask)
        x, y = 0.26, 0.0
        cloth = self._cloth(plan, rng, (x, y))
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        plate.lay(cloth, (x - 0.14, y + 0.11, 0.012), (0.28, 0.0, 0.0), (0.0, -0.22, 0.0))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))

    @staticmethod
    def _sweeps(plan: Plan, rng: Random) -> list[list[Point]]:
        """Return the arcs that an arm wipes."""
        arcs = []
        for row in range(3):
            radius = 0.42 + 0.11 * row
            turns = [0.15 * pi + 0.62 * pi * i / 16 for i in range(17)]
            middle = (-0.05, -0.42)
            outer = [(middle[0] + (radius + 0.05) * cos(t), middle[1] + (radius + 0.05) * sin(t)) for t in turns]
            inner = [(middle[0] + (radius - 0.045) * cos(t), middle[1] + (radius - 0.045) * sin(t)) for t in turns]
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
        mask = mask.filter(ImageFilter.GaussianBlur(4)).point([255 if i > 120 else i // 3 for i in range(256)])
        relief = noise.folds(rng, size, 26)
        cloth = noise.weathered(Image.new("RGB", size, rng.choice(((206, 204, 198), (158, 172, 188)))), relief, 0.5)
        cloth.putalpha(mask)
        x, y = at_m
        plan.shadow([[(x + 0.135 * cos(i / 3) + 0.01, y + 0.10 * sin(i / 3) - 0.014) for i in range(19)]], 0.014, 0.5)
        return cloth


@dataclass(frozen=True, slots=True, kw_only=True)
class TopcoatRoller:
    """A soft roller on the wet edge of the topcoat."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(1.25, 45.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        cured_floor(studio, plan)
        sanded(plan, rng, Image.new("L", plan.size, 150))
        mat = glass.mat_cut(rng, plan.size, BAY_SCALE)
        coat = glass.coated(rng, plan.size, BAY_SCALE, GREY_COAT)
        line = _front(rng, plan, 0.08, 0.045)
        area = [*line, (plan.right_m + 1, plan.far_m + 1), (plan.left_m - 1, plan.far_m + 1)]
        lane = [(-0.12, -0.2), (0.13, -0.21), (0.13, 0.2), (-0.12, 0.2)]
        plan.image = Image.composite(coat, plan.image, glass.frayed(plan.mask([area, lane], 0.006), mat))
        axle = ((-0.115, -0.17, 0.034), (0.125, -0.175, 0.034))
        grip = (rng.uniform(0.06, 0.2), -0.52, 0.17)
        tools.shadow_of_roller(plan, light, axle, grip)
        plate = studio.plate_above_garden(camera)
        _wet_and_lit(studio, plan, plate, area, 0.95)
        with plate.solids() as layer:
            tools.roller(layer, axle, 0.036, grip, False, (134, 139, 143), (46, 78, 108))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """The outlet of the finished roof, its grate in place."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.72, 52.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        plan.image = glass.coated(rng, plan.size, BAY_SCALE, GREY_COAT)
        self._sump(plan)
        plate = studio.plate_above_garden(camera)
        everywhere = [(-3.0, -3.0), (3.0, -3.0), (3.0, 4.0), (-3.0, 4.0)]
        _wet_and_lit(studio, plan, plate, everywhere, 0.3)
        self._grate(plate, studio)
        return Exposure(plate=plate, sharp_rows=(0.15, 0.97))

    @staticmethod
    def _sump(plan: Plan) -> None:
        """Dish the surface towards the pipe: shade on its near side, light on its far side."""
        def ring(radius: float, lift: float = 0.0) -> list[Point]:
            return [(radius * cos(2 * pi * i / 48), radius * sin(2 * pi * i / 48) + lift) for i in range(48)]

        plan.shadow([ring(0.165, -0.012)], 0.022, 0.22)
        bright = plan.mask([ring(0.12, 0.045)], 0.03).point([128 + i // 9 for i in range(256)])
        plan.image = noise.weathered(plan.image, bright, 0.9)
        plan.shadow([ring(0.082)], 0.010, 0.35)
        plan.fill(ring(0.066), (58, 61, 63))
        plan.fill(ring(0.056, -0.004), (20, 20, 21))
        plan.shadow([ring(0.066)], 0.004, 0.15)

    @staticmethod
    def _grate(plate: Plate, studio: Studio) -> None:
        """Set a domed wire grate on the pipe."""
        wire = tools.stripes((168, 170, 172), 0.8, 5)
        with plate.solids() as layer:
            for meridian in range(10):
                turn = 2 * pi * meridian / 10 + 0.2
                arc = [
                    (0.064 * cos(turn) * cos(t), 0.064 * sin(turn) * cos(t), 0.002 + 0.07 * sin(t))
                    for t in (pi / 2 * i / 8 for i in range(9))
                ]
                for a, b in zip(arc, arc[1:], strict=False):
                    layer.tube(a, b, 0.0021, wire)
            for t in (0.1, 0.6):
                hoop = [
                    (0.064 * cos(t) * cos(2 * pi * i / 36), 0.064 * cos(t) * sin(2 * pi * i / 36), 0.002 + 0.07 * sin(t))
                    for i in range(37)
                ]
                for a, b in zip(hoop, hoop[1:], strict=False):
                    layer.tube(a, b, 0.0024, wire)
            layer.bead([(0.0, 0.0, 0.074)], 0.008, ((110, 112, 114), (190, 192, 194)))
