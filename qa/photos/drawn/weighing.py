"""Resin weighed out: a bucket on a scale, the weight in its display."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from PIL import Image, ImageDraw, ImageFont

from qa.photos.drawn import boards, display, hand_tools, noise
from qa.photos.drawn.bounds import require
from qa.photos.drawn.camera import unit
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.vessels import bucket


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A bucket of resin on a scale, the weight in its display.

    Attributes:
        resin_kg: the reading, 0 to 99.99 kg.
    """

    resin_kg: float

    def __post_init__(self) -> None:
        require("resin, kg", self.resin_kg, 0, 99.99)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.over(0.80, 47.0, (0.0, 0.03, 0.12))
        plan = studio.plan_under(camera, 1000, 2.0)
        boards.boards_over(plan, rng, 5, (plan.left_m - 0.3, plan.near_m - 0.4), 5.0)
        _spots(plan, rng)
        plan.shadow([[(-0.17, -0.2), (0.17, -0.2), (0.17, 0.16), (-0.17, 0.16)]], 0.02, 0.5)
        reach = 0.3 / max(0.5, light.sun[2])
        sx, sy = -light.sun[0] * reach, -light.sun[1] * reach
        plan.shadow(
            [[(-0.14, -0.1), (0.14, -0.1), (0.14 + sx, 0.1 + sy), (-0.14 + sx, 0.1 + sy)]],
            0.03,
            0.42 * light.direct + 0.05,
        )
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        self._platform(plate, light)
        with plate.solids() as layer:
            share = min(0.88, 0.42 + self.resin_kg / 20)
            colour = rng.choice(((214, 214, 208), (64, 66, 68), (198, 196, 186)))
            bucket(layer, light, (0.0, 0.02, 0.066), 0.132, 0.255, colour, share)
        return Exposure(plate=plate, sharp_rows=(0.2, 0.98))

    def _platform(self, plate: Plate, light: Light) -> None:
        """Draw the scale: a low box, a steel plate, a sloping display in front."""
        side, back, front, top = 0.155, 0.155, -0.125, 0.055
        body: Colour = (74, 80, 86)
        with plate.solids() as layer:
            centre, size = (0.0, (front + back) / 2, 0.0), (2 * side, back - front, top)
            hand_tools.box(layer, light, centre, size, 0.0, (body, (112, 116, 120)))
            slope = [
                (-side, front, top), (side, front, top),
                (side, front - 0.075, 0.012), (-side, front - 0.075, 0.012),
            ]  # fmt: skip
            layer.face(slope, light.shade(body, (0.0, -0.5, 0.8)))
        brushed = noise.grain(Random(3), (8, 300)).resize((300, 300))
        steel = noise.rgb(noise.squeezed(brushed, 178, 209))
        plate.lay(steel, (-0.148, 0.148, 0.066), (0.296, 0.0, 0.0), (0.0, -0.262, 0.0))
        gain = light.on(unit((0.0, -0.5, 0.8))) / 0.8
        panel = self._panel().point([min(255, round(i * gain)) for i in range(256)] * 3)
        plate.lay(panel, (-0.14, -0.131, 0.0515), (0.28, 0.0, 0.0), (0.0, -0.062, -0.0355))

    def _panel(self) -> Image.Image:
        """Return the scale's front: the weight, and two keys."""
        panel = Image.new("RGB", (900, 240), (44, 47, 50))
        panel.paste(display.screen(520, 176, ((f"{self.resin_kg:.2f}", "kg"),)), (60, 32))
        pen, font = ImageDraw.Draw(panel), ImageFont.load_default(32)
        for x, word in ((650, "zero"), (775, "tare")):
            key = (x, 76, x + 100, 156)
            pen.rounded_rectangle(key, 16, fill=(94, 98, 102), outline=(28, 28, 30), width=4)
            pen.text((x + 50, 116), word, font=font, fill=(232, 232, 230), anchor="mm")
        return panel


def _spots(plan: Plan, rng: Random) -> None:
    """Spill a few drops of resin on the deck."""
    pen = plan.draw
    for _ in range(26):
        x, y = plan.at(rng.gauss(0, 0.3), rng.gauss(0, 0.2))
        r = rng.uniform(1.5, 8)
        pen.ellipse((x - r, y - r * 0.9, x + r, y + r * 0.9), fill=(138, 98, 56))
        pen.ellipse((x - r * 0.5, y - r * 0.6, x, y - r * 0.2), fill=(226, 206, 170))
