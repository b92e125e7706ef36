"""What every scene is given: its chance, its light and the size of its plate."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin, tan
from random import Random
from typing import Protocol

from PIL import Image

from qa.photos.drawn.camera import Camera, Vector, add, scaled
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.surroundings import outdoors

UNDERFOOT: Colour = (120, 112, 98)


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """A drawn plate, not yet developed.

    Attributes:
        plate: the plate.
        sharp_rows: the rows between which it is sharp, as shares of the height; None if all are.
    """

    plate: Plate
    sharp_rows: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Studio:
    """The means of one picture.

    Attributes:
        rng: the picture's own chance; two pictures of one seed differ in nothing.
        light: sun and sky.
        width_px, height_px: size of the plate.
    """

    rng: Random
    light: Light
    width_px: int
    height_px: int

    def camera(self, stands: Vector, looks_at: Vector, view_deg: float = 62.0) -> Camera:
        """Return a camera with this plate."""
        return Camera(
            stands=stands, looks_at=looks_at, view_deg=view_deg,
            width_px=self.width_px, height_px=self.height_px,
        )  # fmt: skip

    def over(self, width_m: float, tilt_deg: float = 62.0, at: Vector = (0.0, 0.0, 0.0)) -> Camera:
        """Return a camera held over a level surface, a little askew as a hand would.

        Args:
            width_m: how much is seen across the longer side, in the middle.
            tilt_deg: how steeply it looks down.
            at: the point in the middle of the picture.
        """
        tilt = radians(tilt_deg + self.rng.uniform(-3, 3))
        turn = radians(self.rng.uniform(-9, 9))
        away = width_m / 2 / tan(radians(31))
        level = cos(tilt) * away
        stands = add(at, (level * sin(turn), -level * cos(turn), sin(tilt) * away))
        return self.camera(stands, at)

    def plate(self, camera: Camera, ground: Colour = UNDERFOOT) -> Plate:
        """Return a plate with nothing but a ground colour on it."""
        return Plate(camera, Image.new("RGB", (self.width_px, self.height_px), ground))

    def plate_above_garden(self, camera: Camera, drop_m: float = 2.6) -> Plate:
        """Return a plate with the surroundings and, well below the roof, the garden on it."""
        return Plate(camera, outdoors(camera, self.light, self.rng, drop_m))

    def plan_under(self, camera: Camera, px_per_m: float, reach_m: float = 2.6) -> Plan:
        """Return a level surface that fills the camera's view as far as `reach_m` from its foot."""
        corners = [
            _met(camera, column, row, reach_m)
            for column in (0, self.width_px)
            for row in (0, self.height_px)
        ]
        columns, rows = [x for x, _ in corners], [y for _, y in corners]
        edge = 6 / px_per_m
        return Plan(
            min(columns) - edge, min(rows) - edge, max(columns) + edge, max(rows) + edge, px_per_m
        )


def _met(camera: Camera, column: float, row: float, reach_m: float) -> tuple[float, float]:
    """Return where the ray through a pixel meets the deck, or where it has gone `reach_m`."""
    right, down, ahead = camera.axes
    ray = add(
        scaled(ahead, camera.focal_px),
        add(scaled(right, column - camera.width_px / 2), scaled(down, row - camera.height_px / 2)),
    )
    level = max(1e-6, hypot(ray[0], ray[1]))
    share = min(-camera.stands[2] / min(ray[2], -1e-9), reach_m / level)
    return (camera.stands[0] + ray[0] * share, camera.stands[1] + ray[1] * share)


class Subject(Protocol):
    """Something to be drawn; each kind holds its own parameters."""

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        ...
