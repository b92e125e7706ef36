"""Strand board and timber: the look of a deck under construction."""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, sin
from random import Random

from PIL import Image, ImageDraw, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.light import mixed, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour

BOARD_M = (2.4, 0.6)
STRANDS_PER_M2 = 3400
_STRAW: tuple[Colour, ...] = (
    (224, 190, 132), (212, 174, 112), (232, 203, 152), (198, 158, 100), (186, 142, 86),
    (218, 184, 128), (205, 168, 116), (170, 124, 74), (236, 212, 168), (193, 150, 98),
)  # fmt: skip


def _strand(pen: ImageDraw.ImageDraw, rng: Random, size: noise.Size, px_per_m: float) -> None:
    """Draw one strand: a sliver with ragged ends, a dark side and a little grain."""
    length = rng.uniform(0.03, 0.10) * px_per_m
    width = max(1.2, rng.triangular(0.003, 0.022, 0.008) * px_per_m)
    angle = rng.gauss(0, 0.42) if rng.random() < 0.8 else rng.uniform(0, pi)
    x, y = rng.uniform(0, size[0]), rng.uniform(0, size[1])
    ahead, aside = (cos(angle), sin(angle)), (-sin(angle), cos(angle))

    def at(along: float, across: float) -> tuple[float, float]:
        return (
            x + ahead[0] * along * length + aside[0] * across * width,
            y + ahead[1] * along * length + aside[1] * across * width,
        )

    colour = tinted(rng.choice(_STRAW), rng.uniform(0.84, 1.06))
    tip, tail = rng.uniform(-0.25, 0.25), rng.uniform(-0.25, 0.25)
    shape = [
        at(-0.5, -0.3 + tail), at(-0.42, -0.5), at(0.44, -0.5 + tip / 3),
        at(0.5, tip), at(0.4, 0.5), at(-0.46, 0.5 - tail / 3),
    ]  # fmt: skip
    pen.polygon(shape, fill=colour)
    pen.line([shape[4], shape[5]], fill=tinted(colour, 0.62), width=max(1, round(width * 0.09)))
    pen.line([shape[1], shape[2]], fill=tinted(colour, 1.10), width=max(1, round(width * 0.06)))
    if width > 8:
        for _ in range(int(width // 7)):
            across = rng.uniform(-0.4, 0.4)
            pen.line(
                [at(-0.45, across), at(0.45, across + rng.uniform(-0.08, 0.08))],
                fill=tinted(colour, rng.choice((0.86, 0.9, 1.07))),
                width=max(1, round(width * 0.03)),
            )


@lru_cache(maxsize=8)
def strand_board(px_per_m: int, width_px: int, height_px: int) -> Image.Image:
    """Return a sheet of strand board, its strands mostly along the rows."""
    rng = Random(f"strands {px_per_m}")
    sheet = Image.new("RGB", (width_px, height_px), (156, 120, 78))
    pen = ImageDraw.Draw(sheet)
    share = min(1.0, px_per_m / 600)
    count = int(width_px * height_px / px_per_m**2 * STRANDS_PER_M2 * share)
    for _ in range(count):
        _strand(pen, rng, sheet.size, px_per_m)
    fibres = noise.grain(rng, (width_px // 6, height_px)).resize(
        sheet.size, Image.Resampling.BICUBIC
    )
    sheet = noise.weathered(sheet, fibres, 0.10)
    sheet = noise.weathered(sheet, noise.clouds(rng, sheet.size, 0.6, noise.MIXED), 0.16)
    mean = Image.new("RGB", sheet.size, (196, 162, 112))
    return Image.blend(sheet, mean, 0.24).filter(ImageFilter.BoxBlur(0.5))


def strand_cut(rng: Random, size: noise.Size, px_per_m: int) -> Image.Image:
    """Return a piece of strand board of `size` px, at random from the sheet."""
    near = px_per_m > 500
    sheet = strand_board(px_per_m, 1800, 1500) if near else strand_board(px_per_m, 1200, 1000)
    if size[0] > sheet.width or size[1] > sheet.height:
        return _tiled(rng, sheet, size)
    left = rng.randint(0, sheet.width - size[0])
    top = rng.randint(0, sheet.height - size[1])
    piece = sheet.crop((left, top, left + size[0], top + size[1]))
    if rng.random() < 0.5:
        piece = piece.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    if rng.random() < 0.5:
        piece = piece.transpose(Image.Transpose.FLIP_TOP_BOTTOM)
    return piece


def _tiled(rng: Random, sheet: Image.Image, size: noise.Size) -> Image.Image:
    whole = Image.new("RGB", size)
    for left in range(0, size[0], sheet.width):
        for top in range(0, size[1], sheet.height):
            flip = rng.choice((Image.Transpose.FLIP_LEFT_RIGHT, Image.Transpose.ROTATE_180))
            whole.paste(sheet.transpose(flip), (left, top))
    return whole


def board_over(
    plan: Plan, rng: Random, x_m: float, y_m: float, size_m: tuple[float, float] = BOARD_M
) -> None:
    """Lay one board with its near left corner at a place; its near and right edge show a joint."""
    scale = plan.px_per_m
    left, bottom = plan.at(x_m, y_m)
    right, top = plan.at(x_m + size_m[0], y_m + size_m[1])
    box = (
        max(0, round(left)),
        max(0, round(top)),
        min(plan.size[0], round(right)),
        min(plan.size[1], round(bottom)),
    )
    if box[2] - box[0] < 2 or box[3] - box[1] < 2:
        return
    piece = strand_cut(rng, (box[2] - box[0], box[3] - box[1]), round(scale))
    tone = rng.uniform(0.93, 1.05)
    piece = piece.point([min(255, round(i * tone)) for i in range(256)] * 3)
    plan.image.paste(piece, (box[0], box[1]))
    pen, width = plan.draw, max(1, round(0.0022 * scale))
    for line, colour in (
        ([(left, bottom), (right, bottom)], (58, 38, 22)),
        ([(right, bottom), (right, top)], (58, 38, 22)),
        ([(left, top + width), (right, top + width)], (226, 198, 150)),
        ([(left + width, bottom), (left + width, top)], (214, 184, 136)),
    ):
        pen.line(line, fill=colour, width=width)


def boards_over(
    plan: Plan,
    rng: Random,
    rows: int,
    start_m: tuple[float, float],
    length_m: float,
    last_row_m: float | None = None,
) -> None:
    """Lay whole rows of boards with staggered joints.

    Args:
        plan: the surface.
        rng: picks each board's piece of the sheet.
        rows: how many rows, from the near edge away.
        start_m: the near left corner of the first row.
        length_m: how far each row reaches to the right.
        last_row_m: how far the last row reaches, where it is not finished.
    """  # fmt: skip
    for row in range(rows):
        reach = last_row_m if row == rows - 1 and last_row_m is not None else length_m
        x, first = 0.0, (2.4, 1.2, 1.8)[row % 3]
        while x < reach - 0.01:
            board = min(first if x == 0.0 else BOARD_M[0], reach - x)
            board_over(
                plan, rng, start_m[0] + x, start_m[1] + row * BOARD_M[1], (board, BOARD_M[1])
            )
            x += board


def nails_at(plan: Plan, rng: Random, places_m: list[tuple[float, float]]) -> None:
    """Draw nail heads, driven a little below the surface."""
    pen = plan.draw
    radius = max(0.8, 0.0042 * plan.px_per_m)
    for x_m, y_m in places_m:
        x, y = plan.at(x_m + rng.gauss(0, 0.004), y_m + rng.gauss(0, 0.004))
        _disc(pen, x, y, radius * 1.45, (96, 66, 38))
        _disc(pen, x, y, radius, (142, 142, 138))
        _disc(pen, x - radius * 0.25, y - radius * 0.25, radius * 0.5, (196, 198, 196))


def _disc(pen: ImageDraw.ImageDraw, x: float, y: float, radius: float, colour: Colour) -> None:
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=colour)


@lru_cache(maxsize=4)
def _grain_sheet(variant: int) -> Image.Image:
    rng = Random(f"grain {variant}")
    fine = noise.grain(rng, (40, 256)).resize((1600, 256), Image.Resampling.BICUBIC)
    broad = noise.grain(rng, (6, 40)).resize((1600, 256), Image.Resampling.BICUBIC)
    return Image.blend(broad, fine, 0.45).filter(ImageFilter.SMOOTH)


def timber(rng: Random, size: noise.Size, colour: Colour) -> Image.Image:
    """Return sawn softwood of `size` px, its grain along the rows."""
    sheet = _grain_sheet(rng.randrange(4))
    top = rng.randint(0, max(0, sheet.height - 60))
    strip = sheet.crop((rng.randint(0, 500), top, 1600, top + 60)).resize(size)
    dark = Image.new("RGB", size, tinted(colour, 0.62))
    pale = Image.new("RGB", size, mixed(colour, (255, 240, 214), 0.25))
    wood = Image.composite(pale, dark, noise.contrast(strip, 40, 215))
    pen = ImageDraw.Draw(wood)
    for _ in range(rng.randint(0, max(1, size[0] // 350))):
        x, y = rng.uniform(0, size[0]), rng.uniform(0.2, 0.8) * size[1]
        knot = size[1] * rng.uniform(0.06, 0.14)
        pen.ellipse((x - knot * 1.5, y - knot, x + knot * 1.5, y + knot), fill=tinted(colour, 0.45))
    return wood
