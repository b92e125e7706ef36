"""Every kind of pixel ends as 8-bit sRGB that looks as it did."""

from __future__ import annotations

import struct

import pytest
from PIL import Image, ImageCms

from qa.photos.colour import flattened, to_srgb
from tests.unit.photos.sample_photos import CORNERS, corners, file_of, image_of, scene

SRGB = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def _s15(value: float) -> bytes:
    return struct.pack(">i", round(value * 65536))


def _tagged(kind: bytes, body: bytes) -> bytes:
    block = kind + bytes(4) + body
    return block + bytes(-len(block) % 4)


def _matrix_profile(columns: tuple[tuple[float, float, float], ...]) -> bytes:
    """Write a minimal display profile (ICC.1:2001-04) with the sRGB curve as gamma 2.2."""
    description = b"invented wide gamut\0"
    text = struct.pack(">I", len(description)) + description + bytes(78)
    white = b"".join(map(_s15, (0.9642, 1.0, 0.8249)))
    tags = {b"desc": _tagged(b"desc", text), b"wtpt": _tagged(b"XYZ ", white)}
    for letter, column in zip("rgb", columns, strict=True):
        tags[f"{letter}XYZ".encode()] = _tagged(b"XYZ ", b"".join(map(_s15, column)))
        tags[f"{letter}TRC".encode()] = _tagged(b"curv", struct.pack(">IH", 1, round(2.2 * 256)))
    return _profile(b"RGB ", tags)


def _profile(space: bytes, tags: dict[bytes, bytes]) -> bytes:
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for name, block in tags.items():
        table += name + struct.pack(">II", start + len(body), len(block))
        body += block
    header = struct.pack(
        ">I4sI4s4s4s", start + len(body), bytes(4), 0x02100000, b"mntr", space, b"XYZ "
    )
    header += bytes(12) + b"acsp" + bytes(28) + b"".join(map(_s15, (0.9642, 1.0, 0.8249)))
    return header.ljust(128, b"\0") + table + body


# Display P3 primaries adapted to D50, to four digits (SMPTE EG 432-1 primaries; from memory).
DISPLAY_P3 = _matrix_profile(
    ((0.5151, 0.2412, -0.0011), (0.2920, 0.6922, 0.0419), (0.1571, 0.0666, 0.7841))
)


def _pixel(image: Image.Image) -> tuple[int, ...]:
    value = image.getpixel((0, 0))
    assert isinstance(value, tuple)
    return value


def test_wide_gamut_red_becomes_the_srgb_of_that_red() -> None:
    # sRGB (255, 0, 0) is about (234, 51, 35) in Display P3 (from memory; the gamma differs a bit).
    converted = to_srgb(Image.new("RGB", (1, 1), (234, 51, 35)), DISPLAY_P3)
    assert _pixel(converted) == pytest.approx((255, 0, 0), abs=14)


def test_grey_stays_grey_in_any_profile() -> None:
    red, green, blue = _pixel(to_srgb(Image.new("RGB", (1, 1), (128, 128, 128)), DISPLAY_P3))
    assert max(red, green, blue) - min(red, green, blue) <= 1


def test_srgb_profile_leaves_every_pixel_alone() -> None:
    image = Image.effect_noise((64, 64), 80).convert("RGB")
    assert to_srgb(image, SRGB).tobytes() == image.tobytes()


@pytest.mark.parametrize("profile", [b"", b"junk", SRGB[:200], DISPLAY_P3[:140]])
def test_broken_profile_is_passed_over(profile: bytes) -> None:
    assert _pixel(to_srgb(Image.new("RGB", (1, 1), "red"), profile)) == (255, 0, 0)


def test_profile_of_other_pixels_is_passed_over() -> None:
    assert _pixel(to_srgb(Image.new("L", (1, 1), 77), SRGB)) == (77, 77, 77)
    assert to_srgb(Image.new("CMYK", (1, 1)), SRGB).mode == "RGB"


def test_cmyk_jpeg_keeps_its_colours() -> None:
    data = file_of(scene(mode="CMYK"))
    image = flattened(image_of(data))
    assert image.mode == "CMYK"
    assert corners(to_srgb(image, b"")) == CORNERS


def test_transparent_palette_lies_on_white_paper() -> None:
    image = scene(mode="P")
    hole = image.getpixel((8, 8))
    flat = flattened(image_of(file_of(image, "PNG", transparency=hole)))
    assert corners(flat) == ("white", *CORNERS[1:])


@pytest.mark.parametrize("mode", ["RGBA", "LA", "PA"])
def test_transparency_lies_on_white_paper(mode: str) -> None:
    assert _pixel(flattened(Image.new("RGBA", (2, 2), (0, 0, 0, 0)).convert(mode))) == (255,) * 3


@pytest.mark.parametrize("level", [0, 255, 256, 32768, 65535])
def test_sixteen_bits_keep_their_upper_eight(level: int) -> None:
    data = file_of(Image.new("I;16", (4, 4), level), "PNG")
    flat = flattened(image_of(data))
    assert (flat.mode, flat.getpixel((0, 0))) == ("L", level // 256)


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "CMYK", "RGBA", "LA", "YCbCr", "I;16", "I"])
def test_every_mode_becomes_three_channels(mode: str) -> None:
    assert to_srgb(flattened(Image.new(mode, (3, 2))), b"").mode == "RGB"
