"""A steel tape laid in view, with millimetres, centimetres and figures that can be read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin

from PIL import Image, ImageDraw, ImageFont

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate

WIDTH_M = 0.025
PX_PER_MM = 4
YELLOW = (243, 203, 58)


@lru_cache(maxsize=4)
def blade(length_mm: int) -> Image.Image:
    """Return the blade from its hook to `length_mm`, the ticks along its upper edge."""
    height = round(WIDTH_M * 1000 * PX_PER_MM)
    strip = Image.new("RGB", (length_mm * PX_PER_MM, height), YELLOW)
    pen = ImageDraw.Draw(strip)
    small, large = ImageFont.load_default(31), ImageFont.load_default(44)
    for mm in range(length_mm):
        x = mm * PX_PER_MM
        reach = 0.40 if mm % 10 == 0 else 0.28 if mm % 5 == 0 else 0.18
        pen.line([(x, 0), (x, height * reach)], fill=(28, 26, 22), width=2 if mm % 10 == 0 else 1)
        if mm % 10 == 0 and mm:
            red = mm % 100 == 0
            pen.text(
                (x, height * 0.68), str(mm // 10), anchor="mm",
                font=large if red else small, fill=(176, 30, 24) if red else (28, 26, 22),
            )  # fmt: skip
    pen.rectangle((0, 0, 5, height), fill=(150, 152, 152))
    cup = Image.linear_gradient("L").resize(strip.size)
    return noise.shaded(strip, cup.point([255 - abs(i - 110) * 70 // 145 for i in range(256)]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tape:
    """A tape on the site.

    Attributes:
        hook_m: where its zero lies.
        heading_deg: which way it runs, anticlockwise from the right.
        length_mm: how much of the blade is out.
        height_m: how high it lies.
    """

    hook_m: Point
    heading_deg: float
    length_mm: int
    height_m: float = 0.003

    def _corner(self, along_m: float, aside_m: float) -> Point:
        turn = radians(self.heading_deg)
        return (
            self.hook_m[0] + cos(turn) * along_m - sin(turn) * aside_m,
            self.hook_m[1] + sin(turn) * along_m + cos(turn) * aside_m,
        )

    def shadow(self, plan: Plan, light: Light) -> None:
        """Darken the surface beside and under the blade."""
        length, drop = self.length_mm / 1000, 0.004
        dx, dy = -light.sun[0] * drop, -light.sun[1] * drop - 0.0015
        outline = [
            self._corner(0, 0), self._corner(length, 0),
            self._corner(length, WIDTH_M), self._corner(0, WIDTH_M),
        ]  # fmt: skip
        plan.shadow([[(x + dx, y + dy) for x, y in outline]], 0.0022, 0.62)

    def stand(self, plate: Plate, light: Light) -> None:
        """Lay the blade on the plate."""
        length = self.length_mm / 1000
        far, end, near = self._corner(0, WIDTH_M), self._corner(length, WIDTH_M), self._corner(0, 0)
        gain = light.on((0.0, 0.0, 1.0)) / 0.85
        strip = blade(self.length_mm).point([min(255, round(i * gain)) for i in range(256)] * 3)
        plate.lay(
            strip,
            (*far, self.height_m),
            (end[0] - far[0], end[1] - far[1], 0.0),
            (near[0] - far[0], near[1] - far[1], 0.0),
        )
