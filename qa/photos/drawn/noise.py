"""Grain and clouds: the irregularity that every drawn surface borrows.

All of it comes from seeded generators, so one seed always gives the same pixels.
"""

from __future__ import annotations

from functools import lru_cache
from random import Random

from PIL import Image, ImageChops, ImageFilter

CLOUD_PX = 1024
SOFT, MIXED, ROUGH = 0.24, 0.36, 0.50
"""Shares of each finer layer in cloudy noise; only these three, so that few tiles are made."""

Size = tuple[int, int]


def grain(rng: Random, size: Size) -> Image.Image:
    """Return white noise, one even random byte for each pixel."""
    return Image.frombytes("L", size, rng.randbytes(size[0] * size[1]))


@lru_cache(maxsize=16)
def _clouds(variant: int, roughness: float) -> Image.Image:
    rng = Random(f"clouds {variant}")
    total = grain(rng, (4, 4)).resize((CLOUD_PX, CLOUD_PX), Image.Resampling.BICUBIC)
    cells = 8
    while cells <= CLOUD_PX:
        octave = grain(rng, (cells, cells)).resize(total.size, Image.Resampling.BICUBIC)
        total = Image.blend(total, octave, roughness)
        cells *= 2
    shades = total.histogram()
    low = next(i for i in range(256) if shades[i])
    high = next(i for i in range(255, -1, -1) if shades[i])
    return contrast(total, low, max(high, low + 1))


def clouds(rng: Random, size: Size, scale: float = 1.0, roughness: float = MIXED) -> Image.Image:
    """Return cloudy noise from 0 to 255 with its mean near the middle.

    Args:
        rng: chooses which part of the noise is taken.
        size: width and height, px.
        scale: how much the noise is enlarged; 1 gives features of up to 500 px.
        roughness: SOFT, MIXED or ROUGH.
    """
    source = _clouds(rng.randrange(2), roughness)
    need = (size[0] / scale, size[1] / scale)
    factor = max(1.0, need[0] / CLOUD_PX, need[1] / CLOUD_PX)
    width, height = need[0] / factor, need[1] / factor
    left = rng.random() * (CLOUD_PX - width)
    top = rng.random() * (CLOUD_PX - height)
    return source.resize(
        size, Image.Resampling.BILINEAR, box=(left, top, left + width, top + height)
    )


def folds(rng: Random, size: Size, cell_px: int) -> Image.Image:
    """Return the relief of a creased sheet, lit from the upper left, round 128.

    Args:
        rng: shapes the creases.
        size: width and height, px.
        cell_px: about how far creases lie apart.
    """
    small = (max(8, size[0] // cell_px * 4), max(8, size[1] // cell_px * 4))
    heights = clouds(rng, small, 0.22, MIXED).filter(ImageFilter.GaussianBlur(1.2))
    kernel = (2, 2, 0, 2, 0, -2, 0, -2, -2)
    relief = heights.filter(ImageFilter.Kernel((3, 3), kernel, 1.4, 128))
    return relief.resize(size, Image.Resampling.BICUBIC)


def contrast(image: Image.Image, low: int, high: int) -> Image.Image:
    """Return a grey picture stretched so that `low` becomes 0 and `high` becomes 255."""
    span = high - low
    return image.point([min(255, max(0, (i - low) * 255 // span)) for i in range(256)])


def squeezed(image: Image.Image, low: int, high: int) -> Image.Image:
    """Return a grey picture whose 0 has become `low` and whose 255 has become `high`."""
    return image.point([low + i * (high - low) // 255 for i in range(256)])


def rgb(image: Image.Image) -> Image.Image:
    """Return a grey picture as a colour one."""
    return Image.merge("RGB", (image, image, image))


def shaded(image: Image.Image, factor: Image.Image) -> Image.Image:
    """Return `image` darkened: 255 of the grey `factor` keeps a pixel, 0 makes it black."""
    return ImageChops.multiply(image, rgb(factor))


def weathered(image: Image.Image, noise: Image.Image, strength: float) -> Image.Image:
    """Return `image` lightened and darkened by the grey `noise` round its middle grey.

    Args:
        image: a colour picture.
        noise: a grey picture of the same size.
        strength: 0 leaves the picture as it is, 1 applies the noise in full.
    """
    half = int(127 * strength)
    return ImageChops.hard_light(image, rgb(squeezed(noise, 127 - half, 127 + half)))


@lru_cache(maxsize=4)
def film(size: Size, variant: int) -> Image.Image:
    """Return the colour grain of a small sensor, round 128."""
    rng = Random(f"film {variant}")
    bands = [squeezed(grain(rng, size), 112, 144) for _ in range(3)]
    return Image.merge("RGB", bands).filter(ImageFilter.BoxBlur(0.6))
