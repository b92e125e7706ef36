"""The one door through which a picture's bytes reach a decoder.

Photographs come from strangers' phones. Only the formats of `KINDS` are opened, chosen by their
first bytes and never by a file's name; a picture's size is judged before it is decoded; and
whatever a decoder raises leaves here as one `PhotoError`.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from PIL import Image, UnidentifiedImageError

from qa.errors import PhotoError
from qa.photos.exif import read_exif
from qa.photos.facts import CameraFacts
from qa.photos.strictness import strict_decoding

_MEGAPIXEL = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A format that is taken in.

    Attributes:
        decoder: its name among Pillow's decoders.
        media_type: its media type.
        pixel_limit: the largest picture that is decoded.
    """

    decoder: str
    media_type: str
    pixel_limit: int


# A JPEG is decoded at a fraction of its size, so that even the largest sensors of phones, of 200
# megapixels, cost little. The others unfold in full at 3 to 4 bytes a pixel, 400 MB at the limit.
JPEG = Kind(decoder="JPEG", media_type="image/jpeg", pixel_limit=200 * _MEGAPIXEL)
PNG = Kind(decoder="PNG", media_type="image/png", pixel_limit=100 * _MEGAPIXEL)
HEIC = Kind(decoder="HEIF", media_type="image/heic", pixel_limit=100 * _MEGAPIXEL)

_HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"mif1"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """What a picture says of itself before it is decoded; width and height as stored."""

    kind: Kind
    width_px: int
    height_px: int
    camera: CameraFacts


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A decoded picture, as stored: not yet turned upright, in its own colours.

    Attributes:
        image: the pixels, perhaps at a fraction of the picture's size.
        size_px: width and height of the whole picture.
        orientation: the turn still to be applied, 1 to 8.
        colour_profile: the ICC profile of the pixels, empty where there is none.
    """

    image: Image.Image
    size_px: tuple[int, int]
    orientation: int
    colour_profile: bytes


def read_header(data: bytes, *, name: str) -> Header:
    """Read format, size and camera's facts without decoding the picture.

    Args:
        data: the whole file.
        name: the file's name as the record gives it, for the error's sentence.

    Raises:
        PhotoError: the bytes are none of the formats taken, or the picture is too large.
    """
    kind = _kind(data, name)
    with strict_decoding():
        with _refusing(name, kind):
            image = _open(data, kind, name)
        return _header(image, kind)


def decode(data: bytes, *, name: str, long_edge_px: int) -> Picture:
    """Decode a picture to its last row, at no more than the scale that is needed.

    Args:
        data: the whole file.
        name: the file's name as the record gives it, for the error's sentence.
        long_edge_px: a JPEG is decoded at the smallest of 1/1, 1/2, 1/4, 1/8 of its size whose
            longer edge is not below this. Even at 1/8 every byte of the picture is read, so half a
            JPEG is found at a third of the cost.

    Raises:
        PhotoError: as `read_header`, and where the picture breaks off or cannot be decoded.
    """
    kind = _kind(data, name)
    with strict_decoding():
        with _refusing(name, kind):
            image = _open(data, kind, name)
        header = _header(image, kind)
        with _refusing(name, kind):
            if kind is JPEG:  # a HEIC's draft would be its embedded thumbnail: another picture
                # The target must have the picture's own shape: a square one as wide as the long
                # edge is taller than the half-size picture, and then nothing is reduced at all.
                image.draft(None, size_within(image.size, long_edge_px))
            image.load()
    return Picture(
        image=image,
        size_px=(header.width_px, header.height_px),
        orientation=header.camera.orientation,
        colour_profile=image.info.get("icc_profile") or b"",
    )


def size_within(size_px: tuple[int, int], long_edge_px: int) -> tuple[int, int]:
    """Return width and height of the same shape whose longer edge is at most `long_edge_px`.

    Args:
        size_px: width and height of the picture; never enlarged.
        long_edge_px: the longer edge asked for, 1 or more.
    """
    share = min(1.0, long_edge_px / max(size_px))
    width_px, height_px = size_px
    return max(1, round(width_px * share)), max(1, round(height_px * share))


def upright_size(size_px: tuple[int, int], orientation: int) -> tuple[int, int]:
    """Return width and height after the turn of an Exif orientation, 1 to 8.

    Source: CIPA DC-008, tag 0x0112: 5 to 8 are turned by a quarter, mirrored or not.
    """
    width_px, height_px = size_px
    return (height_px, width_px) if orientation >= 5 else size_px


def _kind(data: bytes, name: str) -> Kind:
    if data.startswith(b"\xff\xd8\xff"):
        return JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return PNG
    if data[4:8] == b"ftyp" and data[8:12] in _HEIC_BRANDS:
        return HEIC
    if not data:
        raise PhotoError(name, "is empty (0 bytes). Copy it again from the phone or camera.")
    start = data[:12]
    shown = f"the text “{start.decode()}”" if start.isascii() else f"the bytes {start.hex(' ')}"
    shown = shown if shown.isprintable() else f"the bytes {start.hex(' ')}"
    raise PhotoError(
        name,
        f"is not a JPEG, PNG or HEIC picture: it begins with {shown}. "
        "Export the photograph as JPEG and put that file in its place.",
    )


def _open(data: bytes, kind: Kind, name: str) -> Image.Image:
    if kind is HEIC:
        _register_heic()
    image = Image.open(io.BytesIO(data), formats=(kind.decoder,))
    pixels = image.width * image.height
    if pixels > kind.pixel_limit:
        raise PhotoError(
            name,
            f"claims {image.width} × {image.height} px, {pixels / _MEGAPIXEL:,.0f} megapixels; at "
            f"most {kind.pixel_limit // _MEGAPIXEL} are decoded. Export it at a smaller size.",
        )
    if kind is PNG and getattr(image, "is_animated", False):
        raise PhotoError(name, "is an animation, not a photograph. Export one still picture.")
    return image


def _header(image: Image.Image, kind: Kind) -> Header:
    # The block itself, not Image.getexif(): that decodes a whole PNG to look for a late block.
    # Where a JPEG or HEIC holds more pictures (depth, brightness), the first is the photograph.
    camera = read_exif(image.info.get("exif") or b"")
    return Header(kind=kind, width_px=image.width, height_px=image.height, camera=camera)


def _register_heic() -> None:
    # Imported only when a HEIC is met: it costs more to load than a JPEG costs to decode.
    import pillow_heif  # noqa: PLC0415

    pillow_heif.register_heif_opener(thumbnails=False)


@contextmanager
def _refusing(name: str, kind: Kind) -> Iterator[None]:
    """Turn whatever a decoder raises into the refusal of one photograph."""
    try:
        yield
    except PhotoError:
        raise
    except Exception as error:  # decoders raise six kinds and more
        word = kind.media_type.removeprefix("image/").upper()
        reason = str(error) or type(error).__name__
        if isinstance(error, UnidentifiedImageError):  # it names an object, not a reason
            reason = "its header cannot be read"
        raise PhotoError(
            name,
            f"begins as a {word} but cannot be decoded to its end ({reason}): it is damaged or "
            "incomplete. Copy the original again from the phone or camera.",
        ) from error
