"""Glass mat and resin: dry and white, wet and clear, cured, and under its topcoat."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import cos, dist, pi, sin
from random import Random

from PIL import Image, ImageDraw, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.plate import Colour

STRAND_M = 0.050
SHEET_PX = 1400


@lru_cache(maxsize=6)
def strands(px_per_m: int) -> Image.Image:
    """Return a sheet of chopped strands lying at random, grey: 255 where a strand catches light."""
    rng = Random(f"chopped {px_per_m}")
    sheet = Image.new("L", (SHEET_PX, SHEET_PX), 118)
    pen = ImageDraw.Draw(sheet)
    length = STRAND_M * px_per_m
    count = int(9000 * min(1.0, 60 / length) ** 0.5 * max(1.0, (40 / length) ** 0.7))
    for _ in range(count):
        _strand(pen, rng, length, px_per_m)
    return sheet.filter(ImageFilter.BoxBlur(0.5 if px_per_m < 1500 else 1.2))


def _strand(pen: ImageDraw.ImageDraw, rng: Random, length: float, px_per_m: int) -> None:
    """Draw one strand, and again beyond the sheet's edge, so that sheets meet without a seam."""
    turn, bend = rng.uniform(0, pi), rng.uniform(-0.12, 0.12)
    x, y = rng.uniform(0, SHEET_PX), rng.uniform(0, SHEET_PX)
    thick = max(1, round(rng.choice((0.0004, 0.0006, 0.0008, 0.0012)) * px_per_m))
    shade = rng.randint(92, 116)
    tone = rng.randint(128, 250) if thick == 1 else rng.randint(138, 206)
    half = length / 2
    for dx, dy in ((0, 0), (SHEET_PX, 0), (0, SHEET_PX), (SHEET_PX, SHEET_PX)):
        a, b = x - dx, y - dy
        if max(a, b) < -length or (dx and x + length < SHEET_PX) or (dy and y + length < SHEET_PX):
            continue
        middle = (a + cos(turn) * half, b + sin(turn) * half)
        end = (middle[0] + cos(turn + bend) * half, middle[1] + sin(turn + bend) * half)
        line = [(a, b), middle, end]
        if thick > 1:
            pen.line([(u + thick * 0.5, v + thick * 0.7) for u, v in line], shade, thick)
        pen.line(line, tone, thick)


@lru_cache(maxsize=6)
def _bumps(px_per_m: int) -> Image.Image:
    """Return the strands as bumps lit from the upper left, round 128."""
    soft = strands(px_per_m).filter(ImageFilter.GaussianBlur(1.1))
    return soft.filter(ImageFilter.Kernel((3, 3), (2, 1, 0, 1, 0, -1, 0, -1, -2), 1, 128))


@dataclass(frozen=True, slots=True, kw_only=True)
class Mat:
    """A piece of mat: which part of the sheet lies where.

    Attributes:
        size: width and height, px.
        px_per_m: scale of the sheet it is cut from.
        left, top: where the cut begins, px.
        enlarged: how many times larger than the sheet it is seen.
    """

    size: noise.Size
    px_per_m: int
    left: int
    top: int
    enlarged: int = 1

    def _cut(self, sheet: Image.Image) -> Image.Image:
        size = (-(-self.size[0] // self.enlarged), -(-self.size[1] // self.enlarged))
        piece = Image.new("L", size)
        for x in range(-self.left, size[0], SHEET_PX):
            for y in range(-self.top, size[1], SHEET_PX):
                piece.paste(sheet, (x, y))
        return piece if self.enlarged == 1 else piece.resize(self.size, Image.Resampling.BICUBIC)

    @property
    def fibres(self) -> Image.Image:
        """The strands, grey: 255 where one catches light."""
        return self._cut(strands(self.px_per_m))

    @property
    def bumps(self) -> Image.Image:
        """The strands as bumps lit from the upper left, round 128."""
        return self._cut(_bumps(self.px_per_m))


def mat_cut(rng: Random, size: noise.Size, px_per_m: int, enlarged: int = 1) -> Mat:
    """Return a piece of mat of `size` px, seen at `px_per_m`."""
    return Mat(
        size=size, px_per_m=px_per_m // enlarged, enlarged=enlarged,
        left=rng.randrange(SHEET_PX), top=rng.randrange(SHEET_PX),
    )  # fmt: skip


def dry_mat(rng: Random, size: noise.Size, px_per_m: int) -> Image.Image:
    """Return mat as it comes from the roll: white, woolly, with thin and thick places."""
    fibres = mat_cut(rng, size, px_per_m).fibres
    tone = noise.squeezed(fibres, 150, 255)
    mat = Image.merge(
        "RGB",
        (
            tone,
            tone.point([min(255, round(i * 0.995)) for i in range(256)]),
            tone.point([round(i * 0.965) for i in range(256)]),
        ),
    )
    return noise.weathered(mat, noise.clouds(rng, size, 0.4, noise.ROUGH), 0.14)


def wetted(deck: Image.Image, mat: Mat, milk: float = 0.13, depth: float = 0.15) -> Image.Image:
    """Return a deck under saturated mat: darker, deeper in colour, the strands only just seen.

    Args:
        deck: the boards, RGB.
        mat: the mat, of the same size.
        milk: how much of the strands shows, 0 to 1; 0.13 is well wetted out.
        depth: how high the strands stand in the surface.
    """
    soft = deck.reduce(2).resize(deck.size, Image.Resampling.BILINEAR)
    dark = soft.point([round(i * gain) for gain in (0.66, 0.645, 0.55) for i in range(256)])
    pale = Image.new("RGB", deck.size, (206, 196, 158))
    seen = noise.contrast(mat.fibres, 120, 255).point(
        [min(255, round(i * milk * 2)) for i in range(256)]
    )
    return noise.weathered(Image.composite(pale, dark, seen), mat.bumps, depth)


def cured(deck: Image.Image, mat: Mat) -> Image.Image:
    """Return a cured laminate: a little duller and greener than when it was wet."""
    wet = wetted(deck, mat, 0.2, 0.3)
    return Image.blend(wet, Image.new("RGB", wet.size, (150, 142, 104)), 0.34)


def coated(rng: Random, size: noise.Size, px_per_m: int, colour: Colour) -> Image.Image:
    """Return topcoat: even, the pattern of the strands still to be felt."""
    mat = mat_cut(rng, size, px_per_m)
    coat = noise.weathered(Image.new("RGB", size, colour), mat.bumps, 0.06)
    coat = noise.weathered(coat, noise.clouds(rng, size, 1.4, noise.MIXED), 0.10)
    return noise.weathered(coat, noise.grain(rng, size), 0.03)


def spots(rng: Random, reach: Point, count: int) -> list[Point]:
    """Return `count` places within `reach` of the origin, well apart where they can be."""
    places: list[Point] = []
    for _ in range(count):
        tries = [
            (rng.uniform(-reach[0], reach[0]), rng.uniform(-reach[1], reach[1])) for _ in range(12)
        ]
        places.append(max(tries, key=lambda p: min([dist(p, q) for q in places], default=1.0)))
    return places


def blots(rng: Random, size: noise.Size, places: list[Point], reach: float) -> Image.Image:
    """Return soft, ragged blots, 255 in the middle of each.

    Args:
        rng: shapes them.
        size: size of the mask.
        places: where they lie, px.
        reach: about how wide one is, as a share of the width.
    """
    small = (size[0] // 4, size[1] // 4)
    mask = Image.new("L", small)
    pen = ImageDraw.Draw(mask)
    half = reach * small[0] / 2
    for x, y in places:
        for _ in range(5):
            a, b = (rng.uniform(0.3, 0.8) * half for _ in range(2))
            dx, dy = x / 4 + rng.uniform(-0.5, 0.5) * half, y / 4 + rng.uniform(-0.4, 0.4) * half
            pen.ellipse((dx - a, dy - b, dx + a, dy + b), fill=255)
    mask = mask.filter(ImageFilter.GaussianBlur(reach * small[0] / 9))
    ragged = Image.blend(mask, noise.clouds(rng, small, 0.25, noise.ROUGH), 0.3)
    return noise.contrast(ragged, 95, 175).resize(size, Image.Resampling.BICUBIC)


def frayed(mask: Image.Image, mat: Mat) -> Image.Image:
    """Return a mask whose edge follows the strands."""
    soft = (
        mask.reduce(4)
        .filter(ImageFilter.GaussianBlur(2.2))
        .resize(mask.size, Image.Resampling.BILINEAR)
    )
    return noise.contrast(Image.blend(soft, mat.fibres, 0.36), 92, 150)
