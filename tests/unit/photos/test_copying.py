"""Copies stand upright, are no larger than their original, and carry nothing but the picture."""

from __future__ import annotations

import pytest
from PIL import Image, ImageCms

from qa.errors import PhotoError
from qa.photos.copying import clean_copies
from tests.unit.photos.sample_photos import CORNERS, corners, exif_of, file_of, image_of, scene

EDGES_PX = (80, 50, 40)
SECRETS = exif_of(
    {0x010F: "Invented", 0x0131: "SECRET", 0x9C9C: b"S\0E\0"},
    {0x9003: "2026:05:12 08:40:07", 0x927C: b"SECRET"},
    {1: "N", 2: (53.0, 28.0, 48.0), 3: "W", 4: (2.0, 14.0, 24.0)},
)
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>SECRET</x:xmpmeta>"
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def _copies(data: bytes) -> tuple[Image.Image, ...]:
    return tuple(map(image_of, clean_copies(data, name="a.jpg", long_edges_px=EDGES_PX)))


def _segments(jpeg: bytes) -> list[int]:
    """List the markers in front of the picture's data (ISO/IEC 10918-1, B.1)."""
    at, found = 2, []
    while jpeg[at + 1] != 0xDA:
        found.append(jpeg[at + 1])
        at += 2 + int.from_bytes(jpeg[at + 2 : at + 4], "big")
    return found


@pytest.mark.parametrize("orientation", range(1, 9))
def test_copy_stands_upright(orientation: int) -> None:
    stored = scene().transpose(_TURN[orientation]) if orientation > 1 else scene()
    data = file_of(stored, exif=exif_of({0x0112: orientation}))
    for copy in _copies(data):
        assert corners(copy) == CORNERS
        assert copy.width > copy.height


_TURN = {  # from the upright picture to what the camera stores: the inverse of each orientation
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_heic_copy_stands_upright(orientation: int) -> None:
    stored = scene().transpose(_TURN[orientation]) if orientation > 1 else scene()
    data = file_of(stored, "HEIF", exif=exif_of({0x0112: orientation}))
    assert corners(_copies(data)[0]) == CORNERS


def _with_everything(kind: str) -> bytes:
    options: dict[str, object] = {"exif": SECRETS, "icc_profile": PROFILE, "xmp": XMP}
    if kind == "JPEG":
        options |= {"comment": b"SECRET", "dpi": (300, 300)}
    if kind == "HEIF":
        options |= {"thumbnails": [32]}
    return file_of(scene(), kind, **options)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
@pytest.mark.parametrize("edge_px", [16, 50, 4000])
def test_copy_carries_nothing_but_the_picture(kind: str, edge_px: int) -> None:
    original = _with_everything(kind)
    assert b"Invented" in original
    (copy,) = clean_copies(original, name="a", long_edges_px=(edge_px,))
    for trace in (
        b"Exif",
        b"SECRET",
        b"Invented",
        b"ICC_PROFILE",
        b"adobe",
        b"http",
        b"JFXX",
        b"MPF",
    ):
        assert trace not in copy
    # JFIF, quantisation, frame, Huffman tables: what a picture needs, and nothing else.
    assert set(_segments(copy)) == {0xE0, 0xDB, 0xC0, 0xC4}
    assert image_of(copy).info["jfif_density"] == (1, 1)


def test_jpeg_with_several_pictures_gives_one() -> None:
    data = file_of(scene(), "MPO", save_all=True, append_images=[Image.new("RGB", (96, 64))])
    (copy,) = clean_copies(data, name="a", long_edges_px=(80,))
    assert corners(image_of(copy)) == CORNERS
    assert copy.count(b"\xff\xd8\xff") == 1


def test_copies_have_the_edges_asked_for() -> None:
    data = file_of(scene((300, 200)))
    assert [copy.size for copy in _copies(data)] == [(80, 53), (50, 33), (40, 27)]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
def test_small_original_is_not_enlarged(kind: str) -> None:
    data = file_of(scene((60, 48)), kind)
    assert [copy.size for copy in _copies(data)] == [(60, 48), (50, 40), (40, 32)]


@pytest.mark.parametrize("mode", ["L", "CMYK", "RGB"])
def test_grey_and_print_colours_become_rgb(mode: str) -> None:
    assert {copy.mode for copy in _copies(file_of(scene(mode=mode)))} == {"RGB"}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "HEIF"])
def test_same_original_gives_the_same_bytes(kind: str) -> None:
    data = _with_everything(kind)
    first = clean_copies(data, name="a", long_edges_px=EDGES_PX)
    assert first == clean_copies(data, name="b", long_edges_px=EDGES_PX)


def test_half_a_photo_gives_no_copy() -> None:
    data = file_of(scene((640, 480)))
    with pytest.raises(PhotoError, match=r"^deck\.jpg: .*damaged or incomplete"):
        clean_copies(data[: len(data) // 2], name="deck.jpg", long_edges_px=EDGES_PX)
