"""Whole pictures only, of a bearable size, and one kind of error whatever the decoder raises."""

from __future__ import annotations

import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import suppress
from random import Random

import pytest
import weasyprint  # noqa: F401  # its import makes the decoder tolerant; see below
from PIL import Image, ImageFile

from qa.errors import PhotoError
from qa.photos.decoding import HEIC as HEIC_KIND
from qa.photos.decoding import JPEG as JPEG_KIND
from qa.photos.decoding import PNG as PNG_KIND
from qa.photos.decoding import Kind, decode, read_header, size_within
from qa.photos.strictness import strict_decoding
from tests.unit.photos.sample_photos import exif_of, file_of, scene

EXIF = exif_of({0x0112: 6, 0x010F: "Invented"}, {0x9003: "2026:05:12 08:40:07"})
JPEG = file_of(scene((640, 480)), exif=EXIF)
PROGRESSIVE = file_of(scene((640, 480)), progressive=True)
PNG = file_of(scene((640, 480)), "PNG", exif=EXIF)
HEIC = file_of(scene((640, 480)), "HEIF", exif=EXIF)
FILES = {"jpeg": JPEG, "progressive": PROGRESSIVE, "png": PNG, "heic": HEIC}

EACH_FILE = pytest.mark.parametrize("data", FILES.values(), ids=FILES)


def _decode(data: bytes) -> None:
    decode(data, name="a.jpg", long_edge_px=1)


@pytest.fixture(autouse=True)
def tolerant_decoder() -> Iterator[None]:
    """Leave the process as the PDF library leaves it."""
    before = ImageFile.LOAD_TRUNCATED_IMAGES
    ImageFile.LOAD_TRUNCATED_IMAGES = True
    yield
    ImageFile.LOAD_TRUNCATED_IMAGES = before


@EACH_FILE
@pytest.mark.parametrize("share", [0.3, 0.5, 0.9, 0.99])
def test_picture_that_breaks_off_is_refused(data: bytes, share: float) -> None:
    with pytest.raises(PhotoError, match=r"^a\.jpg: begins as a .* damaged or incomplete"):
        _decode(data[: int(len(data) * share)])


@pytest.mark.parametrize("data", [JPEG, PROGRESSIVE], ids=["baseline", "progressive"])
def test_last_byte_of_a_jpeg_is_missed(data: bytes) -> None:
    _decode(data)
    with pytest.raises(PhotoError):
        _decode(data[:-1])


def test_tail_of_zeros_is_found() -> None:
    half = len(JPEG) // 2
    with pytest.raises(PhotoError):
        _decode(JPEG[:half] + bytes(len(JPEG) - half))


def test_decoder_is_as_tolerant_as_before_afterwards() -> None:
    pixels = Image.MAX_IMAGE_PIXELS
    for data in (JPEG, JPEG[:5000]):
        with suppress(PhotoError):
            _decode(data)
        assert ImageFile.LOAD_TRUNCATED_IMAGES is True
        assert pixels == Image.MAX_IMAGE_PIXELS


def test_strictness_lasts_until_the_last_thread() -> None:
    inside, leave = threading.Event(), threading.Event()

    def other() -> None:
        with strict_decoding():
            inside.set()
            leave.wait(10)

    thread = threading.Thread(target=other)
    thread.start()
    assert inside.wait(10)
    with strict_decoding():
        pass
    assert ImageFile.LOAD_TRUNCATED_IMAGES is False
    leave.set()
    thread.join()
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True


def _chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def _png_claiming(width: int, height: int) -> bytes:
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    start = b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", header)
    return start + _chunk(b"IDAT", zlib.compress(bytes(1000))) + _chunk(b"IEND", b"")


def _jpeg_claiming(width: int, height: int) -> bytes:
    at = JPEG.index(b"\xff\xc0") + 5
    return JPEG[:at] + struct.pack(">HH", height, width) + JPEG[at + 4 :]


@pytest.mark.parametrize(
    "data",
    [_png_claiming(60_000, 60_000), _jpeg_claiming(65_000, 65_000)],
    ids=["png of 10 GB", "jpeg of 12 GB"],
)
def test_bomb_is_refused_from_its_header(data: bytes) -> None:
    with pytest.raises(PhotoError, match=r"megapixels; at most \d+ are decoded"):
        read_header(data, name="a.png")


@pytest.mark.parametrize("kind", [JPEG_KIND, PNG_KIND])
def test_largest_picture_is_taken_and_no_larger(kind: Kind) -> None:
    claiming = _jpeg_claiming if kind is JPEG_KIND else _png_claiming
    rows = kind.pixel_limit // 20_000
    assert read_header(claiming(20_000, rows), name="a").height_px == rows
    with pytest.raises(PhotoError, match="megapixels"):
        read_header(claiming(20_000, rows + 1), name="a")


def test_heic_has_the_limit_of_full_decoding() -> None:
    assert HEIC_KIND.pixel_limit == PNG_KIND.pixel_limit


def test_header_is_read_without_decoding() -> None:
    header = read_header(JPEG[:4000], name="a.jpg")
    assert (header.width_px, header.height_px, header.camera.camera_make) == (640, 480, "Invented")


def test_jpeg_is_decoded_at_the_scale_needed() -> None:
    sizes = [
        decode(JPEG, name="a", long_edge_px=edge).image.width for edge in (1, 80, 81, 320, 640)
    ]
    assert sizes == [80, 80, 160, 320, 640]


def test_square_target_does_not_undo_the_scale() -> None:
    tall = file_of(scene((480, 640)))
    assert decode(tall, name="a", long_edge_px=320).image.size == (240, 320)


def test_heic_is_never_its_own_thumbnail() -> None:
    data = file_of(scene((640, 480)), "HEIF", thumbnails=[64])
    assert decode(data, name="a", long_edge_px=1).image.size == (640, 480)


def test_animation_is_refused() -> None:
    data = file_of(scene(), "PNG", save_all=True, append_images=[scene().rotate(180)])
    with pytest.raises(PhotoError, match="is an animation"):
        read_header(data, name="a.png")


def test_oversized_text_in_a_png_is_refused() -> None:
    text = b"Comment\0\0" + zlib.compress(bytes(80_000_000))
    at = PNG.index(b"IDAT") - 4
    with pytest.raises(PhotoError, match="begins as a PNG"):
        _decode(PNG[:at] + _chunk(b"zTXt", text) + PNG[at:])


@pytest.mark.parametrize("seed", range(25))
@EACH_FILE
def test_damaged_file_is_refused_or_decoded(data: bytes, seed: int) -> None:
    chance = Random(seed)
    damaged = bytearray(data)
    for _ in range(chance.choice((1, 8, 64))):
        damaged[chance.randrange(len(damaged))] = chance.randrange(256)
    cut = chance.randrange(len(damaged) // 8) if seed % 2 else len(damaged)
    refusal = "a.jpg: is taken"
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            read_header(bytes(damaged[:cut]), name="a.jpg")
            _decode(bytes(damaged))
        except PhotoError as error:
            refusal = str(error)
    assert refusal.startswith("a.jpg: ")
    assert " object at 0x" not in refusal


@pytest.mark.parametrize(
    ("size_px", "edge_px", "fits"),
    [
        ((4032, 3024), 1600, (1600, 1200)),
        ((3024, 4032), 1600, (1200, 1600)),
        ((1601, 1200), 1600, (1600, 1199)),
        ((1600, 1200), 1600, (1600, 1200)),
        ((100, 60), 1600, (100, 60)),
        ((20_000, 3), 320, (320, 1)),
    ],
)
def test_size_within_keeps_shape_and_never_grows(
    size_px: tuple[int, int], edge_px: int, fits: tuple[int, int]
) -> None:
    assert size_within(size_px, edge_px) == fits
