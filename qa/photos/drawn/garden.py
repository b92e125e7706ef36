"""The garden below the roof: lawn, slabs, a fence, shrubs."""

from __future__ import annotations

from functools import lru_cache
from random import Random

from PIL import Image, ImageDraw, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate


@lru_cache(maxsize=6)
def foliage(variant: int) -> Image.Image:
    """Return a round of foliage, RGBA, light from above."""
    rng = Random(f"foliage {variant}")
    side = 320
    crown = Image.new("RGBA", (side, side), (58, 78, 44, 0))
    pen = ImageDraw.Draw(crown)
    for _ in range(2600):
        radius = rng.random() ** 0.6
        turn = rng.uniform(-1, 1), rng.uniform(-1, 1)
        length = (turn[0] ** 2 + turn[1] ** 2) ** 0.5 or 1.0
        x = side / 2 + turn[0] / length * radius * side * 0.45
        y = side / 2 + turn[1] / length * radius * side * 0.45
        leaf = rng.uniform(2, 7)
        lift = 0.62 + 0.75 * (1 - y / side) * rng.uniform(0.6, 1.3)
        colour = tinted(rng.choice(((86, 112, 58), (98, 122, 62), (74, 98, 52))), lift)
        pen.ellipse((x - leaf, y - leaf * 0.7, x + leaf, y + leaf * 0.7), fill=(*colour, 255))
    return crown


GARDEN_SCALE = 40

GARDEN_M = (-14.0, -3.0, 14.0, 15.0)


def garden(plate: Plate, rng: Random, light: Light, drop_m: float) -> None:
    """Draw the garden that lies `drop_m` below the roof: lawn, slabs, a fence, shrubs."""
    _lawn(rng, light).stand(plate, -drop_m)
    left, near, right, far = GARDEN_M
    fence = _fence(light, rng)
    plate.lay(fence, (left, far, 1.8 - drop_m), (right - left, 0.0, 0.0), (0.0, 0.0, -1.8))
    plate.lay(fence, (left, near, 1.8 - drop_m), (0.0, far - near, 0.0), (0.0, 0.0, -1.8))
    plate.lay(fence, (right, far, 1.8 - drop_m), (0.0, near - far, 0.0), (0.0, 0.0, -1.8))
    places = [(rng.uniform(left, right), far - rng.uniform(0.6, 2.5)) for _ in range(12)]
    for x, y in sorted(places, key=lambda p: -p[1]):
        tall = rng.uniform(0.6, 1.9)
        crown = foliage(rng.randrange(6)).resize((140, 140))
        gain = light.on((0.0, 0.0, 1.0))
        crown = crown.point([min(255, round(i * gain)) for i in range(256)] * 3 + list(range(256)))
        plate.lay(crown, (x, y, tall - drop_m - 0.1), (tall * 1.3, 0.0, 0.0), (0.0, 0.0, -tall))


@lru_cache(maxsize=3)
def _lawn_picture(variant: int) -> Image.Image:
    """Return the garden from above; a site keeps its garden."""
    rng = Random(f"lawn {variant}")
    plan = Plan(*GARDEN_M, GARDEN_SCALE)
    lawn = Image.new("RGB", plan.size, (104, 122, 76))
    lawn = noise.weathered(lawn, noise.clouds(rng, plan.size, 0.8, noise.ROUGH), 0.4)
    plan.image = noise.weathered(lawn, noise.grain(rng, plan.size), 0.3)
    pen, slab, rows = plan.draw, 0.6, 5 + rng.randrange(3)
    for column in range(-24, 24):
        for row in range(-5, rows):
            x, y = plan.at(column * slab, row * slab)
            tone = tinted((168, 162, 150), rng.uniform(0.88, 1.06))
            side = slab * GARDEN_SCALE
            pen.rectangle((x, y - side, x + side - 1, y - 1), fill=tone, outline=(118, 114, 104))
    return plan.image.filter(ImageFilter.BoxBlur(1))


def _lawn(rng: Random, light: Light) -> Plan:
    plan = Plan(*GARDEN_M, GARDEN_SCALE)
    plan.image = _lawn_picture(rng.randrange(3))
    plan.lit(light)
    return plan


def _fence(light: Light, rng: Random) -> Image.Image:
    fence = Image.new("RGB", (1120, 72), (96, 74, 52))
    pen = ImageDraw.Draw(fence)
    for x in range(0, 1120, 6):
        pen.rectangle((x, 2, x + 4, 72), fill=tinted((142, 112, 82), rng.uniform(0.8, 1.1)))
    for x in range(0, 1120, 73):
        pen.rectangle((x, 0, x + 5, 72), fill=(120, 96, 70))
    gain = light.on((0.0, -1.0, 0.0)) / 0.7
    return fence.point([min(255, round(i * gain)) for i in range(256)] * 3)
