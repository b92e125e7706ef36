"""Small photographs made for the tests: four corners of four colours, so that a turn shows."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

import pillow_heif
from PIL import Image

SIZE_PX = (96, 64)
CORNERS = ("red", "lime", "blue", "white")  # top left, top right, bottom left, bottom right
CLOSE = 40  # how far a colour may be from the one drawn, after two lossy codings


def scene(size_px: tuple[int, int] = SIZE_PX, *, mode: str = "RGB") -> Image.Image:
    """Draw a grey plate with a coloured square in each corner."""
    width, height = size_px
    across, down = width // 4, height * 3 // 8
    right, bottom = width - across, height - down
    image = Image.new("RGB", size_px, "grey")
    for place, colour in zip(
        ((0, 0), (right, 0), (0, bottom), (right, bottom)), CORNERS, strict=True
    ):
        image.paste(colour, (*place, place[0] + across, place[1] + down))
    return image.convert(mode)


def corners(image: Image.Image) -> tuple[str, ...]:
    """Name the colours of the four corners, as the scene draws them."""
    left, top = image.width // 8, image.height * 3 // 16
    right, bottom = image.width - 1 - left, image.height - 1 - top
    places = ((left, top), (right, top), (left, bottom), (right, bottom))
    return tuple(_nearest(image, at) for at in places)


def file_of(image: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    """Encode an image as a file."""
    pillow_heif.register_heif_opener(thumbnails=False)
    file = io.BytesIO()
    quality = {} if kind == "PNG" else {"quality": 92}
    image.save(file, kind, **quality, **options)
    return file.getvalue()


def exif_of(
    main: Mapping[int, object] | None = None,
    camera: Mapping[int, object] | None = None,
    gps: Mapping[int, object] | None = None,
) -> bytes:
    """Write an Exif block with the fields of its three directories."""
    exif = Image.Exif()
    exif.update(main or {})
    exif.get_ifd(0x8769).update(camera or {})
    exif.get_ifd(0x8825).update(gps or {})
    return exif.tobytes()


def image_of(data: bytes) -> Image.Image:
    """Decode a file that the tests trust."""
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def put(folder: Path, name: str, data: bytes) -> Path:
    """Write a file and return its path."""
    path = folder / name
    path.write_bytes(data)
    return path


def _nearest(image: Image.Image, at: tuple[int, int]) -> str:
    seen = image.convert("RGB").getpixel(at)
    assert isinstance(seen, tuple)
    for colour in CORNERS:
        drawn = Image.new("RGB", (1, 1), colour).getpixel((0, 0))
        assert isinstance(drawn, tuple)
        if max(abs(a - b) for a, b in zip(seen, drawn, strict=True)) <= CLOSE:
            return colour
    return f"rgb{seen}"
