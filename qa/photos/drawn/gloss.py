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

MIRROR_REDUCTION = 5
"""A mirror image is drawn so many times smaller: a wet surface never holds it quite sharp."""

MASK_REDUCTION = 2


def sky_mirror(camera: Camera, light: Light, rng: Random) -> Plate:
    """Return a small plate with what a level mirror shows of the sky: broad, soft clouds."""
    small = camera.reduced(MIRROR_REDUCTION)
    size = (small.width_px, small.height_px)
    cover = noise.contrast(noise.clouds(rng, size, 0.5, noise.SOFT), 88, 172)
    bright = Image.new("RGB", size, light.haze)
    dull = Image.new("RGB", size, tinted(light.zenith, 0.45))
    return Plate(small, Image.composite(bright, dull, cover))


def wet_mask(camera: Camera, plan: Plan, wet: Image.Image) -> Image.Image:
    """Return where the plate is wet.

    Args:
        camera: the camera.
        plan: gives the bounds of the level surface.
        wet: grey, of any resolution, 255 where that surface is wet.
    """
    small = camera.reduced(MASK_REDUCTION)
    catch = Plate(small, Image.new("L", (small.width_px, small.height_px)))
    catch.lay(
        wet, (plan.left_m, plan.far_m, 0.0), (plan.right_m - plan.left_m, 0.0, 0.0),
        (0.0, plan.near_m - plan.far_m, 0.0),
    )  # fmt: skip
    return catch.image.resize((camera.width_px, camera.height_px), Image.Resampling.BILINEAR)


def shine(plate: Plate, mirror: Plate, strength: float, mask: Image.Image) -> None:
    """Add a reflection to the plate, weak under foot and strong far away.

    Args:
        plate: the plate; the wet surface is level.
        mirror: what a perfect mirror in its place would show, on a small plate.
        strength: 1 for still resin, about 0.3 for a satin topcoat.
        mask: where the plate is wet, grey, of the plate's size.
    """
    fall = _fresnel(mirror.camera, strength).resize(mirror.size, Image.Resampling.BICUBIC)
    seen = noise.shaded(mirror.image, fall).resize(plate.size, Image.Resampling.BICUBIC)
    plate.image = ImageChops.screen(plate.image, noise.shaded(seen, mask))


def _fresnel(camera: Camera, strength: float) -> Image.Image:
    """Return a column: how much a level surface mirrors in each row."""
    column = Image.new("L", (1, 48))
    _, down, ahead = camera.axes
    for index in range(48):
        row = (index + 0.5) / 48 * camera.height_px - camera.height_px / 2
        steep = -(ahead[2] * camera.focal_px + down[2] * row) / (camera.focal_px**2 + row**2) ** 0.5
        share = 0.16 + 0.84 * (1 - min(1.0, max(0.0, steep))) ** 1.7
        column.putpixel((0, index), min(255, round(255 * share * strength)))
    return column


def glint(plan: Plan, mat: Mat, light: Light, rng: Random, strength: float) -> None:
    """Set sparks on the bumps of a wet surface where the sun, or a bright sky, is mirrored."""
    field = noise.contrast(noise.clouds(rng, plan.size, 1.6, noise.SOFT), 120, 215)
    sparks = noise.contrast(ImageChops.multiply(mat.bumps, field), 96, 170)
    power = strength * (0.30 + 0.70 * light.direct)
    sparks = sparks.point([round(i * power) for i in range(256)])
    plan.image = ImageChops.screen(plan.image, noise.rgb(sparks))
