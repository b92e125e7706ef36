"""Shine: what wet resin, fresh topcoat and puddles mirror of the sky."""

from __future__ import annotations

from random import Random

from PIL import Image, ImageChops

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Camera
from qa.photos.drawn.glass import Mat
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Plate


def sky_mirror(size: noise.Size, light: Light, rng: Random) -> Image.Image:
    """Return what a level mirror shows of the sky: broad, soft clouds."""
    small = (max(2, size[0] // 16), max(2, size[1] // 16))
    cover = noise.contrast(noise.clouds(rng, small, 0.16, 0.3), 88, 172)
    bright = Image.new("RGB", small, light.haze)
    dull = Image.new("RGB", small, tinted(light.zenith, 0.45))
    return Image.composite(bright, dull, cover).resize(size, Image.Resampling.BICUBIC)


def shine(
    plate: Plate, mirror: Image.Image, strength: float, mask: Image.Image | None = None
) -> None:
    """Add a reflection to the plate, weak under foot and strong far away.

    Args:
        plate: the plate; the wet surface is level.
        mirror: what a perfect mirror in its place would show, of the plate's size.
        strength: 1 for still resin, about 0.3 for a satin topcoat.
        mask: where the plate is wet, grey; None for all of it.
    """
    fall = _fresnel(plate.camera, strength).resize(plate.size, Image.Resampling.BICUBIC)
    if mask is not None:
        fall = ImageChops.multiply(fall, mask)
    plate.image = ImageChops.screen(plate.image, noise.shaded(mirror, fall))


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


def glint(plan: Plan, mat: Mat, light: Light, rng: Random, strength: float) -> None:
    """Set sparks on the bumps of a wet surface where the sun, or a bright sky, is mirrored."""
    field = noise.contrast(noise.clouds(rng, plan.size, 1.6, 0.22), 120, 215)
    sparks = noise.contrast(ImageChops.multiply(mat.bumps, field), 96, 170)
    power = strength * (0.30 + 0.70 * light.direct)
    sparks = sparks.point([round(i * power) for i in range(256)])
    plan.image = ImageChops.screen(plan.image, noise.rgb(sparks))
