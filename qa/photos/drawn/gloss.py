"""Shine: what wet resin, fresh topcoat and puddles mirror of the sky."""

from __future__ import annotations

from random import Random

from PIL import Image, ImageChops, ImageFilter

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Camera
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate


def mirrored_sky(
    plate: Plate, light: Light, rng: Random, strength: float, mask: Image.Image | None = None
) -> None:
    """Add the sky's reflection to the plate, weak under foot and strong far away.

    Args:
        plate: the plate; the wet surface is level.
        light: the sky.
        rng: chooses the clouds.
        strength: 1 for still resin, about 0.3 for a satin topcoat.
        mask: where the plate is wet, grey; None for all of it.
    """
    size = plate.size
    cover = noise.contrast(noise.clouds(rng, size, 2.6, 0.2), 96, 158)
    bright = Image.new("RGB", size, light.haze)
    dull = Image.new("RGB", size, tuple(c * 2 // 5 for c in light.zenith))
    sky = Image.composite(bright, dull, cover)
    fall = _fresnel(plate.camera, strength).resize(size, Image.Resampling.BICUBIC)
    if mask is not None:
        fall = ImageChops.multiply(fall, mask)
    plate.image = ImageChops.screen(
        plate.image, ImageChops.multiply(sky, noise.rgb(fall))
    )


def _fresnel(camera: Camera, strength: float) -> Image.Image:
    """Return a column: how much a level surface mirrors in each row."""
    column = Image.new("L", (1, 48))
    right, down, ahead = camera.axes
    for index in range(48):
        row = (index + 0.5) / 48 * camera.height_px - camera.height_px / 2
        steep = -(ahead[2] * camera.focal_px + down[2] * row) / (camera.focal_px**2 + row**2) ** 0.5
        share = 0.16 + 0.84 * (1 - min(1.0, max(0.0, steep))) ** 1.7
        column.putpixel((0, index), min(255, round(255 * share * strength)))
    return column


def glint(plan: Plan, fibres: Image.Image, light: Light, rng: Random, strength: float) -> None:
    """Set sparks on the bumps of a wet surface where the sun, or a bright sky, is mirrored."""
    bumps = fibres.filter(ImageFilter.Kernel((3, 3), (2, 1, 0, 1, 0, -1, 0, -1, -2), 2, 100))
    field = noise.contrast(noise.clouds(rng, plan.size, 1.6, 0.22), 120, 215)
    sparks = noise.contrast(ImageChops.multiply(bumps, field), 84, 150)
    power = strength * (0.35 + 0.65 * light.direct)
    sparks = sparks.point([round(i * power) for i in range(256)]).filter(ImageFilter.BoxBlur(0.7))
    plan.image = ImageChops.screen(plan.image, noise.rgb(sparks))
