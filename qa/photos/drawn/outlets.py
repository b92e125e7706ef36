"""The outlet of the finished roof."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from math import cos, pi, sin

from qa.photos.drawn import glass, hand_tools, noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.laminate_details import BAY_SCALE
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate
from qa.photos.drawn.rolling import GREY_COAT, wet_and_lit
from qa.photos.drawn.studio import Exposure, Studio


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlet:
    """The outlet of the finished roof, its grate in place."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng
        camera = studio.over(0.72, 52.0)
        plan = studio.plan_under(camera, BAY_SCALE)
        plan.image = glass.coated(rng, plan.size, BAY_SCALE, GREY_COAT)
        self._sump(plan)
        plate = studio.plate_above_garden(camera)
        everywhere = [(-3.0, -3.0), (3.0, -3.0), (3.0, 4.0), (-3.0, 4.0)]
        wet_and_lit(studio, plan, plate, everywhere, 0.3)
        self._grate(plate)
        return Exposure(plate=plate, sharp_rows=(0.15, 0.97))

    @staticmethod
    def _sump(plan: Plan) -> None:
        """Dish the surface towards the pipe: shade on its near side, light on its far side."""

        def ring(radius: float, lift: float = 0.0) -> list[Point]:
            return [
                (radius * cos(2 * pi * i / 48), radius * sin(2 * pi * i / 48) + lift)
                for i in range(48)
            ]

        plan.shadow([ring(0.165, -0.012)], 0.022, 0.22)
        bright = plan.mask([ring(0.12, 0.045)], 0.03).point([128 + i // 9 for i in range(256)])
        plan.image = noise.weathered(plan.image, bright, 0.9)
        plan.shadow([ring(0.082)], 0.010, 0.35)
        plan.fill(ring(0.066), (58, 61, 63))
        plan.fill(ring(0.056, -0.004), (20, 20, 21))
        plan.shadow([ring(0.066)], 0.004, 0.15)

    @staticmethod
    def _grate(plate: Plate) -> None:
        """Set a domed wire grate on the pipe."""
        wire = hand_tools.stripes((168, 170, 172), 0.8, 5)
        with plate.solids() as layer:
            for meridian in range(10):
                turn = 2 * pi * meridian / 10 + 0.2
                arc = [
                    (0.064 * cos(turn) * cos(t), 0.064 * sin(turn) * cos(t), 0.002 + 0.07 * sin(t))
                    for t in (pi / 2 * i / 8 for i in range(9))
                ]
                for a, b in itertools.pairwise(arc):
                    layer.tube(a, b, 0.0021, wire)
            for t in (0.1, 0.6):
                hoop = [
                    (
                        0.064 * cos(t) * cos(2 * pi * i / 36),
                        0.064 * cos(t) * sin(2 * pi * i / 36),
                        0.002 + 0.07 * sin(t),
                    )
                    for i in range(37)
                ]
                for a, b in itertools.pairwise(hoop):
                    layer.tube(a, b, 0.0024, wire)
            layer.bead([(0.0, 0.0, 0.074)], 0.008, ((110, 112, 114), (190, 192, 194)))
