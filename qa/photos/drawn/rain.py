"""Weather on the job: the roof under a cover sheet in the rain, and drying afterwards."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from qa.photos.drawn import hand_tools, noise, roof
from qa.photos.drawn.bounds import require
from qa.photos.drawn.camera import Point
from qa.photos.drawn.coverings import boarded, laminated
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Plate, Solids
from qa.photos.drawn.roof import RECTANGLE, ROOF_SCALE, Edging, RoofShape, shone
from qa.photos.drawn.studio import Exposure, Studio

SHEETS: tuple[Colour, ...] = ((58, 96, 138), (62, 104, 84), (92, 104, 112))


def falling(plate: Plate, rng: Random, drops: int = 700) -> None:
    """Streak the air with rain, near drops long and soft, far ones short."""
    small = (plate.size[0] // 2, plate.size[1] // 2)
    layer = Image.new("L", small)
    pen = ImageDraw.Draw(layer)
    lean = rng.uniform(-0.16, 0.16)
    for _ in range(drops):
        x, y = rng.uniform(-20, small[0] + 20), rng.uniform(-40, small[1])
        long = rng.choice((9, 14, 22, 34))
        pen.line([(x, y), (x + lean * long, y + long)], fill=rng.randint(36, 92), width=1)
    soft = layer.filter(ImageFilter.BoxBlur(0.6)).resize(plate.size, Image.Resampling.BILINEAR)
    plate.image = ImageChops.screen(plate.image, noise.rgb(soft))
    veil = Image.new("RGB", plate.size, (176, 182, 188))
    plate.image = Image.blend(plate.image, veil, 0.10)


def _sheet(plan: Plan, rng: Random, colour: Colour) -> None:
    """Spread a creased sheet with a hem and eyelets over the roof."""
    sheet = Image.new("RGB", plan.size, colour)
    sheet = noise.weathered(sheet, noise.folds(rng, plan.size, 60), 0.5)
    sheet = noise.weathered(sheet, noise.folds(rng, plan.size, 220), 0.6)
    weave = noise.grain(rng, plan.size)
    plan.image = noise.weathered(sheet, weave, 0.05)
    hem, pen = 0.06, plan.draw
    wide, deep = plan.right_m - plan.left_m, plan.far_m - plan.near_m
    for inset, tone in ((hem, 0.7), (hem - 0.012, 1.2)):
        box = [
            *plan.at(plan.left_m + inset, plan.far_m - inset),
            *plan.at(plan.right_m - inset, plan.near_m + inset),
        ]
        pen.rectangle(box, outline=tinted(colour, tone), width=2)
    for i in range(int(wide / 0.5) + 1):
        for y in (plan.near_m + 0.035, plan.far_m - 0.035):
            _eyelet(plan, plan.left_m + 0.1 + 0.5 * i, y)
    for i in range(int(deep / 0.5) + 1):
        for x in (plan.left_m + 0.035, plan.right_m - 0.035):
            _eyelet(plan, x, plan.near_m + 0.1 + 0.5 * i)


def _eyelet(plan: Plan, x_m: float, y_m: float) -> None:
    x, y = plan.at(x_m, y_m)
    plan.draw.ellipse((x - 4, y - 4, x + 4, y + 4), fill=(196, 198, 196))
    plan.draw.ellipse((x - 2, y - 2, x + 2, y + 2), fill=(34, 34, 34))


@dataclass(frozen=True, slots=True, kw_only=True)
class RainOnCover:
    """The roof under a cover sheet, in the rain, timbers holding the sheet down."""

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng
        colour = rng.choice(SHEETS)
        plate = roof.roof(
            studio,
            self.shape,
            self.side,
            lambda plan: _sheet(plan, rng, colour),
            Edging(trims=False, fascia=tinted(colour, 0.8)),
        )
        ponds = noise.contrast(noise.clouds(rng, (360, 240), 0.22, noise.SOFT), 142, 156)
        shone(plate, studio, self.shape, noise.squeezed(ponds, 80, 255), 0.95)
        self._weights(plate, studio)
        falling(plate, rng)
        return Exposure(plate=plate)

    def _weights(self, plate: Plate, studio: Studio) -> None:
        """Lay lengths of timber along the edges of the sheet."""
        left, near, right, far = self.shape.bounds_m
        rng, light = studio.rng, studio.light
        with plate.solids() as layer:
            for y in (far - 0.3, near + 0.25):
                x = left + 0.4
                while x < right - 1.4:
                    long = rng.uniform(1.0, 1.6)
                    _baulk(
                        layer,
                        light,
                        (x, y + rng.uniform(-0.08, 0.08)),
                        long,
                        rng.uniform(-0.06, 0.06),
                    )
                    x += long + rng.uniform(0.5, 1.2)


def _baulk(layer: Solids, light: Light, at_m: Point, long_m: float, turn: float) -> None:
    centre = (at_m[0] + long_m / 2, at_m[1], 0.0)
    hand_tools.box(
        layer, light, centre, (long_m, 0.075, 0.05), turn, ((132, 104, 72), (158, 128, 92))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class DryingAfterRain:
    """The roof uncovered after rain: the wet places shrink, the sheet lies rolled up.

    Attributes:
        wetness: share of the surface that is still wet, 0 to 1.
        laminated: whether laminate lies on the boards.
    """

    shape: RoofShape = field(default=RECTANGLE)
    side: int = 0
    wetness: float = 0.45
    laminated: bool = False

    def __post_init__(self) -> None:
        require("side of the roof", self.side, 0, 4)
        require("wetness", self.wetness, 0, 1)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        rng = studio.rng
        left, near, right, far = self.shape.bounds_m
        size = (round((right - left) * ROOF_SCALE), round((far - near) * ROOF_SCALE))
        stain = noise.clouds(rng, (size[0] // 4, size[1] // 4), 0.8, noise.MIXED)
        level = 232 - round(200 * self.wetness)
        damp = noise.contrast(stain, level - 14, level + 14).resize(size, Image.Resampling.BICUBIC)
        film = noise.contrast(stain, level + 26, level + 46)

        def cover(plan: Plan) -> None:
            if self.laminated:
                laminated(studio, plan)
            else:
                boarded(studio, plan)
            dark = plan.image.point(
                [round(i * gain) for gain in (0.56, 0.54, 0.54) for i in range(256)]
            )
            plan.image = Image.composite(dark, plan.image, damp)

        plate = roof.roof(studio, self.shape, self.side, cover, Edging())
        shone(plate, studio, self.shape, film, 1.0)
        self._rolled_sheet(plate, studio)
        return Exposure(plate=plate)

    def _rolled_sheet(self, plate: Plate, studio: Studio) -> None:
        """Leave the sheet rolled up along the far edge."""
        left, _, right, far = self.shape.bounds_m
        colour = studio.rng.choice(SHEETS)
        y, wide = far - 0.45, min(right - left - 0.8, 2.8)
        start = left + 0.4 + studio.rng.uniform(0, 0.4)
        with plate.solids() as layer:
            for i in range(14):
                a, b = start + wide * i / 14, start + wide * (i + 1) / 14
                radius = 0.12 + studio.rng.uniform(-0.012, 0.012)
                layer.tube(
                    (a, y, radius),
                    (b + 0.01, y, radius),
                    radius,
                    hand_tools.stripes(colour, 0.25, 9),
                )
            for x in (start + wide * 0.2, start + wide * 0.8):
                layer.tube(
                    (x, y, 0.125),
                    (x + 0.03, y, 0.125),
                    0.135,
                    hand_tools.stripes((206, 196, 170), 0.1, 7),
                )
