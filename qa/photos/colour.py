"""Brings decoded pixels of any kind to the one kind that every reader shows alike: 8-bit sRGB.

Source: IEC 61966-2-1 (sRGB); ICC.1 for profiles, applied by LittleCMS through Pillow.
"""

from __future__ import annotations

import io
from functools import lru_cache
from itertools import product

from PIL import Image, ImageChops, ImageCms

_PAPER = "white"
"""What shows through a transparent picture: the paper it will be printed on."""


def flattened(image: Image.Image) -> Image.Image:
    """Return the pixels as 8-bit grey, RGB or CMYK, without transparency or palette.

    Args:
        image: a decoded picture of any mode.
    """
    if image.mode in {"L", "RGB", "CMYK"} and "transparency" not in image.info:
        return image
    if image.mode.startswith("I"):  # 16 bits of grey: keep the upper eight
        return image.point(lambda level: level * (1 / 256)).convert("L")
    if image.has_transparency_data:
        picture = image.convert("RGBA")
        paper = Image.new("RGBA", picture.size, _PAPER)
        return Image.alpha_composite(paper, picture).convert("RGB")
    return image.convert("L" if image.mode == "1" else "RGB")


def to_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    """Convert grey, RGB or CMYK pixels to sRGB.

    Args:
        image: pixels as `flattened` returns them.
        profile: their ICC profile; empty, broken or made for other pixels, it is passed over, and
            the pixels count as sRGB, as every browser takes them.
    """
    transform = _transform(profile, image.mode) if profile else None
    if transform is None:
        return image if image.mode == "RGB" else image.convert("RGB")
    converted = ImageCms.applyTransform(image, transform)
    assert converted is not None  # None only in place
    return converted


@lru_cache(maxsize=8)  # a job has as many profiles as cameras
def _transform(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform | None:
    try:
        transform = ImageCms.buildTransform(
            ImageCms.ImageCmsProfile(io.BytesIO(profile)),
            ImageCms.createProfile("sRGB"),
            mode,
            "RGB",
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return None
    return None if mode == "RGB" and _changes_nothing(transform) else transform


def _changes_nothing(transform: ImageCms.ImageCmsTransform) -> bool:
    """Whether a transform leaves every colour alone: most cameras name sRGB itself.

    Tried on a cube of colours, since the names of profiles are anybody's.
    """
    levels = range(0, 256, 51)
    cube = Image.frombytes(
        "RGB", (36, 6), bytes(v for rgb in product(levels, repeat=3) for v in rgb)
    )
    converted = ImageCms.applyTransform(cube, transform)
    assert converted is not None  # None only in place
    return max(ImageChops.difference(cube, converted).tobytes()) <= 1
