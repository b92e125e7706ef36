"""Buckets, kegs and the scale: resin weighed out, and the label of a lot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageDraw, ImageFont

from qa.photos.drawn import boards, display, noise
from qa.photos.drawn.camera import Vector, unit
from qa.photos.drawn.light import Light, mixed, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate, Solids
from qa.photos.drawn.studio import Exposure, Studio

SIDES = 160
RESIN: Colour = (188, 150, 112)


def _ring(centre: Vector, radius_m: float, height_m: float) -> list[Vector]:
    return [
        (centre[0] + radius_m * cos(2 * pi * i / SIDES), centre[1] + radius_m * sin(2 * pi * i / SIDES), height_m)
        for i in range(SIDES)
    ]


def wall_of(
    layer: Solids, light: Light, centre: Vector, low: tuple[float, float], high: tuple[float, float],
    colour: Colour, inside: bool = False,
) -> None:
    """Draw the wall of a round vessel between two (radius, height) pairs, outside or inside."""  # fmt: skip
    bottom, top = _ring(centre, *low), _ring(centre, *high)
    eye = layer.camera.stands
    for i in range(SIDES):
        j, turn = (i + 1) % SIDES, 2 * pi * (i + 0.5) / SIDES
        normal = (cos(turn), sin(turn), 0.0)
        toward = normal[0] * (eye[0] - centre[0]) + normal[1] * (eye[1] - centre[1]) - high[0]
        if (toward > 0) == inside:
            continue
        facing = (-normal[0], -normal[1], 0.2) if inside else normal
        around = 0.80 + 0.24 * cos(turn - 0.9) if inside else 0.90 + 0.16 * cos(turn - 3.9)
        gain = light.on(unit(facing)) / 0.72 * around
        to_eye = unit((eye[0] - centre[0], eye[1] - centre[1], 0.0))
        gloss = max(0.0, normal[0] * (to_eye[0] - 0.5) + normal[1] * to_eye[1]) ** 14 * 0.16
        layer.face([bottom[i], bottom[j], top[j], top[i]], mixed(tinted(colour, gain), (255, 255, 255), gloss))


def bucket(
    layer: Solids, light: Light, centre: Vector, radius_m: float, height_m: float, colour: Colour, resin_share: float
) -> None:
    """Draw an open bucket of resin on a surface at the height of `centre`."""
    low, top = centre[2], centre[2] + height_m
    slim = radius_m * 0.86

    def at(share: float) -> tuple[float, float]:
        return (slim + (radius_m - slim) * share, low + height_m * share)

    layer.face(_ring(centre, radius_m * 1.03, top), light.shade(colour, (0.0, 0.0, 1.0)))
    rounds = 9
    for i in range(rounds):
        lower, upper = (resin_share + (1 - resin_share) * (i + j) / rounds for j in (0, 1))
        deep = 0.52 + 0.40 * (i / rounds) ** 0.7
        wall_of(layer, light, centre, at(lower), at(upper), tinted(colour, deep), inside=True)
    _resin(layer, light, centre, at(resin_share))
    wall_of(layer, light, centre, at(0.0), at(1.0), colour)
    for share in (0.25, 0.5, 0.75):
        radius, z = at(share)
        wall_of(layer, light, centre, (radius, z), (radius, z + 0.0015), tinted(colour, 0.74))
    wall_of(layer, light, centre, (radius_m * 1.03, top - 0.011), (radius_m * 1.03, top), tinted(colour, 1.04))


def _resin(layer: Solids, light: Light, centre: Vector, level: tuple[float, float]) -> None:
    """Draw the resin's surface: shade under the rim, the sky mirrored in the middle."""
    radius, z = level
    gain = light.on((0.0, 0.0, 1.0)) / 0.9
    rounds = 26
    for i in range(rounds):
        share = i / rounds
        tone = mixed(tinted(RESIN, 0.66 * gain), (246, 240, 230), 0.62 * share**1.8)
        middle = (centre[0] - 0.02 * share, centre[1] + radius * 0.22 * share, 0.0)
        layer.face(_ring(middle, radius * (1 - share), z), tone)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A bucket of resin on a scale, the weight in its display.

    Attributes:
        resin_kg: the reading, 0 to 99.99 kg.
    """

    resin_kg: float

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
        plan.shadow([[(-0.14, -0.1), (0.14, -0.1), (0.14 + sx, 0.1 + sy), (-0.14 + sx, 0.1 + sy)]], 0.03, 0.42 * light.direct + 0.05)
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
        with plate.solids() as layer:
            side, back, deep, top = 0.155, 0.155, -0.125, 0.055
            body: Colour = (74, 80, 86)
            layer.face([(-side, deep, 0), (side, deep, 0), (side, deep, top), (-side, deep, top)], light.shade(body, (0, -1, 0)))
            for x in (-side, side):
                layer.face([(x, deep, 0), (x, back, 0), (x, back, top), (x, deep, top)], light.shade(body, (x, 0, 0)))
            layer.face([(-side, deep, top), (side, deep, top), (side, back, top), (-side, back, top)], light.shade((112, 116, 120), (0, 0, 1)))
            layer.face([(-side, deep, top), (side, deep, top), (side, deep - 0.075, 0.012), (-side, deep - 0.075, 0.012)], light.shade(body, (0, -0.5, 0.8)))
        steel = noise.grain(Random(3), (8, 300)).resize((300, 300)).point([178 + i // 8 for i in range(256)])
        plate.lay(noise.rgb(steel), (-0.148, 0.148, 0.066), (0.296, 0, 0), (0, -0.262, 0))
        panel = Image.new("RGB", (900, 240), (44, 47, 50))
        panel.paste(display.screen(520, 176, ((f"{self.resin_kg:.2f}", "kg"),)), (60, 32))
        pen = ImageDraw.Draw(panel)
        for x, word in ((650, "zero"), (775, "tare")):
            pen.rounded_rectangle((x, 76, x + 100, 156), 16, fill=(94, 98, 102), outline=(28, 28, 30), width=4)
            pen.text((x + 50, 116), word, font=ImageFont.load_default(32), fill=(232, 232, 230), anchor="mm")
        gain = light.on(unit((0.0, -0.5, 0.8))) / 0.8
        panel = panel.point([min(255, round(i * gain)) for i in range(256)] * 3)
        plate.lay(panel, (-0.14, -0.131, 0.0515), (0.28, 0, 0), (0, -0.062, -0.0355))


def _spots(plan: Plan, rng: Random) -> None:
    """Spill a few drops of resin on the deck."""
    pen = plan.draw
    for _ in range(26):
        x, y = plan.at(rng.gauss(0, 0.3), rng.gauss(0, 0.2))
        r = rng.uniform(1.5, 8)
        pen.ellipse((x - r, y - r * 0.9, x + r, y + r * 0.9), fill=(138, 98, 56))
        pen.ellipse((x - r * 0.5, y - r * 0.6, x, y - r * 0.2), fill=(226, 206, 170))


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

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng, light = studio.rng, studio.light
        camera = studio.camera((rng.uniform(-0.06, 0.06), -0.70, 0.36), (0.0, 0.0, 0.17), 50.0)
        plan = studio.plan_under(camera, 1000, 2.0)
        boards.boards_over(plan, rng, 5, (plan.left_m - 0.3, plan.near_m - 0.4), 5.0)
        plan.shadow([[(0.18 * cos(i / 3), 0.18 * sin(i / 3)) for i in range(19)]], 0.03, 0.6)
        reach = 0.36 / max(0.5, light.sun[2])
        sx, sy = -light.sun[0] * reach, -light.sun[1] * reach
        plan.shadow([[(-0.13, 0), (0.13, 0), (0.13 + sx, sy), (-0.13 + sx, sy)]], 0.03, 0.45 * light.direct)
        plan.lit(light)
        plate = studio.plate_above_garden(camera)
        plan.stand(plate)
        colour = rng.choice(((58, 88, 112), (206, 205, 198), (70, 76, 80), (120, 62, 52)))
        with plate.solids() as layer:
            wall_of(layer, light, (0, 0, 0), (0.158, 0.0), (0.158, 0.352), colour)
            for z in (0.0, 0.345):
                wall_of(layer, light, (0, 0, 0), (0.163, z), (0.163, z + 0.012), tinted(colour, 0.9))
            layer.face(_ring((0, 0, 0), 0.158, 0.357), light.shade(tinted(colour, 0.92), (0, 0, 1)))
            layer.face(_ring((0, 0.02, 0), 0.06, 0.359), light.shade(tinted(colour, 0.7), (0, 0, 1)))
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
            box = (round(label.width * i / strips), 0, round(label.width * (i + 1) / strips), label.height)
            gain = light.on((cos(middle), sin(middle), 0.0)) / 0.74
            strip = label.crop(box).point([min(255, round(v * gain)) for v in range(256)] * 3)
            start = (radius * cos(a), radius * sin(a), 0.295)
            plate.lay(
                strip, start, (radius * (cos(b) - cos(a)), radius * (sin(b) - sin(a)), 0.0), (0, 0, -0.235), bleed_px=0.6
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
            pen.text((300, y), name, font=ImageFont.load_default(54), fill=(84, 86, 88), anchor="lm")
            pen.text((610, y), value, font=ImageFont.load_default(88), fill=ink, anchor="lm")
        self._small_print(pen, rng, y + 90)
        return noise.weathered(label, noise.clouds(rng, label.size, 1.0, noise.ROUGH), 0.1)

    @staticmethod
    def _small_print(pen: ImageDraw.ImageDraw, rng: Random, y: float) -> None:
        font = ImageFont.load_default(36)
        for line in (
            "Highly flammable. Keep away from ignition. Ventilate.",
            "Wear goggles and gloves. See the safety data sheet.",
            "Drawn label: no such product exists.",
        ):
            if y < 1130:
                pen.text((750, y), line, font=font, fill=(96, 98, 100), anchor="mm")
            y += 54
