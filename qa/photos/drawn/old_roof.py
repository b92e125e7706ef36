"""An old roof from straight above: worn felt, and the joists under it."""

from __future__ import annotations

from math import cos, pi, sin
from random import Random

from PIL import Image

from qa.photos.drawn import boards, noise
from qa.photos.drawn.camera import Point
from qa.photos.drawn.plan import Plan


def felt(plan: Plan, rng: Random) -> None:
    """Draw an old covering: mineral felt with laps, blisters, moss, patches and stains."""
    base = noise.weathered(
        Image.new("RGB", plan.size, (122, 128, 122)), noise.grain(rng, plan.size), 0.42
    )
    base = noise.weathered(base, noise.clouds(rng, plan.size, 0.8, noise.ROUGH), 0.42)
    plan.image = base
    y = plan.near_m + rng.uniform(0.5, 0.9)
    while y < plan.far_m:
        wave = [
            (plan.left_m + i * 0.25, y + rng.uniform(-0.012, 0.012))
            for i in range(int((plan.right_m - plan.left_m) / 0.25) + 2)
        ]
        plan.shadow([[*wave, *[(a, b - 0.05) for a, b in reversed(wave)]]], 0.012, 0.4)
        plan.draw.line(plan.outline(wave), fill=(46, 46, 44), width=4)
        plan.draw.line(
            plan.outline([(a, b + 0.02) for a, b in wave]), fill=(132, 136, 128), width=2
        )
        y += 0.92
    _stains(plan, rng)


def _stains(plan: Plan, rng: Random) -> None:
    """Add ponding marks, moss, blisters and a tarred patch."""
    for _ in range(2):
        pond = noise.contrast(noise.clouds(rng, plan.size, 1.2, noise.MIXED), 150, 200)
        plan.image = noise.shaded(plan.image, noise.squeezed(pond, 255, 190))
    tufts = noise.clouds(rng, plan.size, 0.12, noise.ROUGH)
    moss = Image.blend(noise.clouds(rng, plan.size, 0.9, noise.MIXED), tufts, 0.5)
    green = Image.new("RGB", plan.size, (92, 104, 48))
    green = noise.weathered(green, noise.grain(rng, plan.size), 0.4)
    plan.image = Image.composite(green, plan.image, noise.contrast(moss, 150, 172))
    for _ in range(rng.randint(5, 9)):
        x = rng.uniform(plan.left_m + 0.4, plan.right_m - 0.4)
        y = rng.uniform(plan.near_m + 0.4, plan.far_m - 0.4)
        _blister(plan, (x, y), rng.uniform(0.06, 0.2))
    _patch(plan, rng)


def _blister(plan: Plan, middle: Point, radius: float) -> None:
    """Raise a blister: shade on its near right, a little light on its far left."""
    x, y = middle
    disc = [(x + radius * cos(i / 8 * pi) * 1.3, y + radius * sin(i / 8 * pi)) for i in range(16)]
    plan.shadow([[(a + 0.02, b - 0.02) for a, b in disc]], 0.02, 0.3)
    bright = plan.mask([[(a - 0.015, b + 0.015) for a, b in disc]], 0.03)
    plan.image = noise.weathered(plan.image, noise.squeezed(bright, 128, 143), 1.0)


def _patch(plan: Plan, rng: Random) -> None:
    """Stick on a patch of newer felt in tar."""
    x = rng.uniform(plan.left_m + 1, plan.right_m - 2)
    y = rng.uniform(plan.near_m + 0.8, plan.far_m - 1.2)
    outline = [(x, y), (x + 1.0, y + 0.06), (x + 0.96, y + 0.62), (x - 0.05, y + 0.55)]
    dark = Image.new("RGB", plan.size, (44, 44, 45))
    dark = noise.weathered(dark, noise.grain(rng, plan.size), 0.2)
    plan.image = Image.composite(dark, plan.image, plan.mask([outline], 0.012))


def joists_under(plan: Plan, rng: Random, centres_m: float, noggins: bool) -> None:
    """Draw the open roof from above: joists, the ceiling far below, insulation between."""
    plan.image = Image.new("RGB", plan.size, (52, 46, 40))
    wool = noise.weathered(
        Image.new("RGB", plan.size, (176, 152, 88)),
        noise.clouds(rng, plan.size, 0.15, noise.ROUGH),
        0.5,
    )
    plan.image = Image.blend(plan.image, wool, 0.7)
    x = plan.left_m + 0.025
    lines = []
    while x < plan.right_m:
        lines.append(x)
        x += centres_m
    for x in lines:
        plan.shadow(
            [
                [
                    (x - 0.03, plan.near_m),
                    (x + 0.14, plan.near_m),
                    (x + 0.14, plan.far_m),
                    (x - 0.03, plan.far_m),
                ]
            ],
            0.03,
            0.5,
        )
    if noggins:
        for x in lines[:-1]:
            y = (plan.near_m + plan.far_m) / 2 + rng.choice((-0.05, 0.05))
            _timber_at(plan, rng, (x, y - 0.024), (x + centres_m, y + 0.024), False)
    for x in lines:
        _timber_at(plan, rng, (x - 0.024, plan.near_m), (x + 0.024, plan.far_m), True)


def _timber_at(plan: Plan, rng: Random, low: Point, high: Point, upright: bool) -> None:
    left, bottom = plan.at(*low)
    right, top = plan.at(*high)
    size = (max(2, round(right - left)), max(2, round(bottom - top)))
    tone = rng.choice(((206, 172, 122), (196, 160, 112), (178, 146, 104)))
    if upright:
        wood = boards.timber(rng, (size[1], size[0]), tone).transpose(Image.Transpose.ROTATE_90)
    else:
        wood = boards.timber(rng, size, tone)
    plan.image.paste(wood, (round(left), round(top)))
