"""Brick walls: one seen from close by, and the house's own with its window."""

from __future__ import annotations

from functools import lru_cache
from random import Random

from PIL import Image, ImageDraw

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.light import mixed, tinted
from qa.photos.drawn.plate import Colour

_BRICKS: tuple[Colour, ...] = (
    (142, 84, 62),
    (186, 124, 92),
    (160, 98, 74),
    (120, 78, 66),
    (174, 112, 80),
)


@lru_cache(maxsize=8)
def brickwork(width_m: float, height_m: float, px_per_m: float, colour: Colour) -> Image.Image:
    """Return a stretcher-bond wall; the first row of the picture is its top."""
    rng = Random(f"bricks {width_m} {height_m}")
    size = (max(2, round(width_m * px_per_m)), max(2, round(height_m * px_per_m)))
    wall = Image.new("RGB", size, (184, 176, 160))
    wall = noise.weathered(wall, noise.grain(rng, size), 0.2)
    pen = ImageDraw.Draw(wall)
    course, brick = 0.075 * px_per_m, 0.225 * px_per_m
    row, y = 0, float(size[1])
    while y > 0:
        x = -brick * (0.5 if row % 2 else 0.0) - brick * 0.3
        while x < size[0]:
            _brick(pen, rng, (x, y - course), px_per_m, mixed(colour, rng.choice(_BRICKS), 0.6))
            x += brick
        y -= course
        row += 1
    fine = noise.clouds(rng, size, 0.16 * max(1.0, px_per_m / 400), noise.ROUGH)
    wall = noise.weathered(wall, fine, 0.30)
    wall = noise.weathered(wall, noise.clouds(rng, size, 2.0, noise.MIXED), 0.22)
    return noise.weathered(wall, noise.grain(rng, size), 0.14)


def _brick(
    pen: ImageDraw.ImageDraw, rng: Random, corner: Point, px_per_m: float, tone: Colour
) -> None:
    """Draw one brick with its arrises worn and the joint below it in shade."""
    joint = max(1.0, 0.010 * px_per_m)
    x, y = corner[0], corner[1] + joint
    right, low = x + 0.215 * px_per_m, y + 0.065 * px_per_m
    tone = tinted(tone, rng.uniform(0.86, 1.08))
    worn = 0.0022 * px_per_m

    def near(a: float, b: float) -> Point:
        return (a + rng.uniform(-worn, worn), b + rng.uniform(-worn, worn))

    steps = (0.0, 0.2, 0.45, 0.7, 1.0) if px_per_m > 600 else (0.0, 1.0)
    upper = [near(x + (right - x) * s, y) for s in steps]
    lower = [near(x + (right - x) * s, low) for s in reversed(steps)]
    drop = joint * 0.42
    pen.polygon([(a, b + drop) for a, b in (*upper, *lower)], fill=(112, 100, 88))
    pen.polygon([*upper, *lower], fill=tone)
    if px_per_m > 600:
        pen.line(upper, fill=tinted(tone, 1.14), width=2)
        for _ in range(14):
            a, b = rng.uniform(x, right), rng.uniform(y, low)
            pit = rng.uniform(0.5, 2.4)
            pen.ellipse(
                (a, b, a + pit * 1.6, b + pit), fill=tinted(tone, rng.choice((0.66, 0.8, 1.16)))
            )


WALL_HEIGHT_M = 3.4


@lru_cache(maxsize=4)
def house_wall(length_dm: int) -> Image.Image:
    """Return the house's wall, with a window in it; the same house on every picture."""
    wide = length_dm / 10
    wall = brickwork(wide, WALL_HEIGHT_M, 150, (172, 112, 86))
    return _with_window(wall, wide * 0.62, 150) if wide > 2.5 else wall


def _with_window(wall: Image.Image, at_m: float, scale: int) -> Image.Image:
    glass = Image.linear_gradient("L").resize((scale, round(scale * 1.1)))
    pane = Image.composite(
        Image.new("RGB", glass.size, (52, 62, 72)),
        Image.new("RGB", glass.size, (158, 174, 188)),
        glass,
    )
    x, y = round((at_m - 0.6) * scale), round(1.25 * scale)
    wall.paste(
        (214, 208, 196),
        (x - 12, y + round(1.2 * scale), x + round(1.2 * scale) + 12, y + round(1.2 * scale) + 12),
    )
    wall.paste((238, 238, 236), (x, y, x + round(1.2 * scale), y + round(1.2 * scale)))
    half = pane.resize((round(0.5 * scale), round(1.04 * scale)))
    for shift in (0.07, 0.63):
        wall.paste(half, (x + round(shift * scale), y + round(0.08 * scale)))
    return wall
