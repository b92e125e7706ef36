"""The label of a lot, on its keg."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageDraw, ImageFont

from qa.photos.drawn import boards, noise
from qa.photos.drawn.bounds import require
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plate import Colour, Plate
from qa.photos.drawn.studio import Exposure, Studio
from qa.photos.drawn.vessels import ring_of, wall_of


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchLabel:
    """A keg whose label gives the product in plain words and the batch.

    Attributes:
        product: one to three short lines, such as ("Laminating resin", "for GRP roofing").
        batch_number: the number as the lot gives it.
        use_by: the last day of use, or None.
        contents: what it holds, such as "20 kg".
    """

    product: tuple[str, ...]
    batch_number: str
    use_by: date | None = None
    contents: str = ""

    def __post_init__(self) -> None:
        require("lines that name the product", len(self.product), 1, 3)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.camera((rng.uniform(-0.06, 0.06), -0.70, 0.36), (0.0, 0.0, 0.17), 50.0)
        plan = studio.plan_under(camera, 1000, 2.0)
        boards.boards_over(plan, rng, 5, (plan.left_m - 0.3, plan.near_m - 0.4), 5.0)
        plan.shadow([[(0.18 * cos(i / 3), 0.18 * sin(i / 3)) for i in range(19)]], 0.03, 0.6)
        reach = 0.36 / max(0.5, light.sun[2])
        sx, sy = -light.sun[0] * reach, -light.sun[1] * reach
        plan.shadow(
            [[(-0.13, 0), (0.13, 0), (0.13 + sx, sy), (-0.13 + sx, sy)]], 0.03, 0.45 * light.direct
        )
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        colour = rng.choice(((58, 88, 112), (206, 205, 198), (70, 76, 80), (120, 62, 52)))
        with plate.solids() as layer:
            wall_of(layer, light, (0, 0, 0), (0.158, 0.0), (0.158, 0.352), colour)
            for z in (0.0, 0.345):
                wall_of(
                    layer, light, (0, 0, 0), (0.163, z), (0.163, z + 0.012), tinted(colour, 0.9)
                )
            layer.face(
                ring_of((0, 0, 0), 0.158, 0.357), light.shade(tinted(colour, 0.92), (0, 0, 1))
            )
            layer.face(
                ring_of((0, 0.02, 0), 0.06, 0.359), light.shade(tinted(colour, 0.7), (0, 0, 1))
            )
        self._wrap(plate, light, rng)
        return Exposure(plate=plate, sharp_rows=(0.1, 0.98))

    def _wrap(self, plate: Plate, light: Light, rng: Random) -> None:
        """Put the label round the keg, strip by strip."""
        label = self._label(rng)
        strips, radius, half = 30, 0.1588, 0.95
        for i in range(strips):
            a = -pi / 2 - half + 2 * half * i / strips
            b = -pi / 2 - half + 2 * half * (i + 1) / strips
            middle = (a + b) / 2
            box = (
                round(label.width * i / strips),
                0,
                round(label.width * (i + 1) / strips),
                label.height,
            )
            gain = light.on((cos(middle), sin(middle), 0.0)) / 0.74
            strip = label.crop(box).point([min(255, round(v * gain)) for v in range(256)] * 3)
            start = (radius * cos(a), radius * sin(a), 0.295)
            plate.lay(
                strip,
                start,
                (radius * (cos(b) - cos(a)), radius * (sin(b) - sin(a)), 0.0),
                (0, 0, -0.235),
                bleed_px=0.6,
            )

    def _label(self, rng: Random) -> Image.Image:
        """Return the flat label."""
        label = Image.new("RGB", (1500, 1180), (240, 238, 230))
        pen = ImageDraw.Draw(label)
        ink: Colour = (34, 36, 38)
        pen.rectangle((0, 0, 1500, 74), fill=(54, 84, 104))
        y = 150
        for index, line in enumerate(self.product):
            font = ImageFont.load_default(92 if index == 0 else 58)
            pen.text((750, y), line, font=font, fill=ink, anchor="mm")
            y += 104 if index == 0 else 76
        pen.line([(180, y + 4), (1320, y + 4)], fill=ink, width=3)
        rows = [("Batch", self.batch_number)]
        if self.use_by is not None:
            rows.append(("Use by", self.use_by.strftime("%d %m %Y")))
        if self.contents:
            rows.append(("Contents", self.contents))
        for name, value in rows:
            y += 104
            pen.text(
                (300, y), name, font=ImageFont.load_default(54), fill=(84, 86, 88), anchor="lm"
            )
            pen.text((610, y), value, font=ImageFont.load_default(88), fill=ink, anchor="lm")
        self._small_print(pen, y + 90)
        return noise.weathered(label, noise.clouds(rng, label.size, 1.0, noise.ROUGH), 0.1)

    @staticmethod
    def _small_print(pen: ImageDraw.ImageDraw, y: float) -> None:
        font = ImageFont.load_default(36)
        for line in (
            "Highly flammable. Keep away from ignition. Ventilate.",
            "Wear goggles and gloves. See the safety data sheet.",
            "Drawn label: no such product exists.",
        ):
            if y < 1130:
                pen.text((750, y), line, font=font, fill=(96, 98, 100), anchor="mm")
            y += 54
