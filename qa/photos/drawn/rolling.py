"""Rollers at work, the worker out of the picture: on the mat and on the topcoat."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from PIL import Image

from qa.photos.drawn import glass, gloss, hand_tools
from qa.photos.drawn.camera import Point
from qa.photos.drawn.laminate_details import BAY_SCALE, bay_deck
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.sanding import cured_floor, sanded, wavering
from qa.photos.drawn.studio import Exposure, Studio

GREY_COAT: Colour = (112, 117, 121)


def wet_and_lit(
    studio: Studio, plan: Plan, plate: Plate, area: list[Point], strength: float
) -> None:
    """Throw a plan on the plate and let an area of it mirror the sky."""
    plan.lit(studio.light)
    plan.stand(plate)
    small = Plan(plan.left_m, plan.near_m, plan.right_m, plan.far_m, 120)
    mask = gloss.wet_mask(plate.camera, small, small.mask([area], 0.012))
    gloss.shine(plate, gloss.sky_mirror(plate.camera, studio.light, studio.rng), strength, mask)


def _half_wetted(plan: Plan, rng: Random, mat: glass.Mat, line: list[Point]) -> None:
    """Cover boards with mat: clear before a line, soaking beyond it, then still white."""
    clear = glass.wetted(plan.image, mat, 0.13, 0.2)
    milk = Image.new("RGB", plan.size, (214, 206, 176))
    soaking = Image.blend(glass.wetted(plan.image, mat, 0.5, 0.25), milk, 0.25)
    dry = glass.dry_mat(rng, plan.size, BAY_SCALE)
    beyond = [(x, y + 0.16 + rng.uniform(-0.04, 0.05)) for x, y in line]
    far = [(plan.right_m + 0.1, plan.far_m + 1), (plan.left_m - 0.1, plan.far_m + 1)]
    wet_edge = glass.frayed(plan.mask([[*line, *far]], 0.02), mat)
    dry_edge = glass.frayed(plan.mask([[*beyond, *far]], 0.03), mat)
    plan.image = Image.composite(dry, Image.composite(soaking, clear, wet_edge), dry_edge)


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
        line = wavering(rng, plan, 0.06, 0.03)
        _half_wetted(plan, rng, mat, line)
        turn = rng.uniform(-0.14, 0.14)
        x, y = rng.uniform(-0.1, 0.04), 0.055
        axle = ((x - 0.09, y - 0.09 * turn, 0.024), (x + 0.09, y + 0.09 * turn, 0.024))
        grip = (x + rng.uniform(0.02, 0.16), y - 0.36, 0.15)
        hand_tools.shadow_of_roller(plan, light, axle, grip)
        gloss.glint(plan, mat, light, rng, 0.6)
        plate = studio.plate_above_garden(camera)
        near = [
            (plan.left_m - 1, plan.near_m - 1),
            (plan.right_m + 1, plan.near_m - 1),
            *reversed(line),
        ]
        wet_and_lit(studio, plan, plate, near, 0.85)
        with plate.solids() as layer:
            hand_tools.roller(layer, axle, 0.024, grip, True, (196, 198, 202), (152, 62, 44))
        return Exposure(plate=plate, sharp_rows=(0.2, 0.97))


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
        line = wavering(rng, plan, 0.08, 0.045)
        area = [*line, (plan.right_m + 1, plan.far_m + 1), (plan.left_m - 1, plan.far_m + 1)]
        lane = [(-0.12, -0.2), (0.13, -0.21), (0.13, 0.2), (-0.12, 0.2)]
        plan.image = Image.composite(
            coat, plan.image, glass.frayed(plan.mask([area, lane], 0.006), mat)
        )
        axle = ((-0.115, -0.17, 0.034), (0.125, -0.175, 0.034))
        grip = (rng.uniform(0.06, 0.2), -0.52, 0.17)
        hand_tools.shadow_of_roller(plan, light, axle, grip)
        plate = studio.plate_above_garden(camera)
        wet_and_lit(studio, plan, plate, area, 0.95)
        with plate.solids() as layer:
            hand_tools.roller(layer, axle, 0.036, grip, False, (134, 139, 143), (46, 78, 108))
        return Exposure(plate=plate, sharp_rows=(0.18, 0.97))
