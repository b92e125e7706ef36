"""Originals taken in: every orientation and format, and every way in which a file is none."""

from __future__ import annotations

import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from qa.errors import PhotoError
from qa.photos import intake
from qa.photos.intake import read_facts, read_photo
from tests.unit.photos.sample_photos import exif_of, file_of, put, scene

JPEG = file_of(scene())
PNG = file_of(scene(), "PNG")
HEIC = file_of(scene(), "HEIF")


def _refusal(path: Path, name: str = "photos/deck.jpg") -> str:
    with pytest.raises(PhotoError) as caught:
        read_photo(path, name=name)
    assert caught.value.name == name
    sentence = str(caught.value)
    assert sentence.startswith(f"{name}: ")
    assert sentence.endswith(".")
    return sentence


@pytest.mark.parametrize(
    ("data", "media_type"), [(JPEG, "image/jpeg"), (PNG, "image/png"), (HEIC, "image/heic")]
)
def test_formats_of_phones_are_taken(tmp_path: Path, data: bytes, media_type: str) -> None:
    facts = read_photo(put(tmp_path, "a", data), name="a")
    assert (facts.media_type, facts.width_px, facts.height_px) == (media_type, 96, 64)
    assert (facts.sha256, facts.bytes) == (sha256(data).hexdigest(), len(data))


@pytest.mark.parametrize("orientation", range(1, 9))
def test_size_is_that_of_the_upright_picture(tmp_path: Path, orientation: int) -> None:
    data = file_of(scene(), exif=exif_of({0x0112: orientation}))
    facts = read_facts(put(tmp_path, "a.jpg", data), name="a.jpg")
    assert facts.orientation == orientation
    upright = (64, 96) if orientation >= 5 else (96, 64)
    assert (facts.width_px, facts.height_px) == upright


def test_heic_is_turned_by_its_container(tmp_path: Path) -> None:
    data = file_of(scene(), "HEIF", exif=exif_of({0x0112: 6, 0x010F: "Invented"}))
    facts = read_photo(put(tmp_path, "a.heic", data), name="a.heic")
    assert (facts.orientation, facts.width_px, facts.height_px) == (1, 64, 96)
    assert facts.camera_make == "Invented"


def test_jpeg_with_several_pictures_is_a_jpeg(tmp_path: Path) -> None:
    data = file_of(scene(), "MPO", save_all=True, append_images=[scene((32, 32))])
    facts = read_photo(put(tmp_path, "a.jpg", data), name="a.jpg")
    assert (facts.media_type, facts.width_px) == ("image/jpeg", 96)


def test_name_does_not_decide_the_format(tmp_path: Path) -> None:
    assert read_photo(put(tmp_path, "a.jpg", PNG), name="a.jpg").media_type == "image/png"


def test_broken_exif_refuses_no_photo(tmp_path: Path) -> None:
    for block in (
        b"Exif\0\0junk",
        b"Exif\0\0MM\0*\0\0\0\x08\xff\xff",
        b"Exif\0\0II*\0\xff\xff\xff\xff",
    ):
        data = file_of(scene(), exif=block)
        facts = read_photo(put(tmp_path, "a.jpg", data), name="a.jpg")
        assert (facts.orientation, facts.taken_at_naive) == (1, None)


def test_text_named_as_photo_is_refused(tmp_path: Path) -> None:
    sentence = _refusal(put(tmp_path, "a.jpg", b"hello world, hello roof"))
    assert "is not a JPEG, PNG or HEIC picture: it begins with the text “hello world,”" in sentence


@pytest.mark.parametrize(
    "data",
    [
        file_of(scene(), "GIF"),
        file_of(scene(), "WEBP"),
        file_of(scene(), "TIFF"),
        file_of(scene(), "BMP"),
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        b"%!PS-Adobe-3.0 EPSF-3.0",
        b"%PDF-1.7",
        b"\0\0\0\x1cftypavif",
        b"\xff\xd8",
        b"\n\n\n",
    ],
    ids=["gif", "webp", "tiff", "bmp", "svg", "eps", "pdf", "avif", "two bytes", "blank"],
)
def test_other_formats_are_refused(tmp_path: Path, data: bytes) -> None:
    assert "Export the photograph as JPEG" in _refusal(put(tmp_path, "a.jpg", data))


def test_empty_file_is_refused(tmp_path: Path) -> None:
    assert "is empty (0 bytes)" in _refusal(put(tmp_path, "a.jpg", b""))


def test_folder_is_refused(tmp_path: Path) -> None:
    assert "is a folder, not a photograph" in _refusal(tmp_path)


def test_missing_file_is_refused(tmp_path: Path) -> None:
    assert "there is no such file" in _refusal(tmp_path / "a.jpg")


@pytest.mark.parametrize("name", ["a.jpg/b.jpg", "x" * 300, "nul\0.jpg"])
def test_unreadable_path_is_refused(tmp_path: Path, name: str) -> None:
    put(tmp_path, "a.jpg", JPEG)
    assert "cannot be read (" in _refusal(tmp_path / name)


def test_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.jpg")
    assert "is not an ordinary file" in _refusal(tmp_path / "a.jpg")


def test_longest_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    with path.open("wb") as file:
        file.truncate(intake.FILE_LIMIT_BYTES + 1)
    assert "at most 128 MiB" in _refusal(path)


def test_intake_loads_no_decoder_before_a_photo() -> None:
    program = (
        "import sys, qa.photos.intake, qa.photos.renditions\n"
        "print([m for m in ('PIL', 'pillow_heif') if m in sys.modules])"
    )
    answer = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "[]"


def test_jpeg_loads_no_heic_decoder(tmp_path: Path) -> None:
    path = put(tmp_path, "a.jpg", JPEG)
    program = (
        "import sys; from pathlib import Path; from qa.photos.intake import read_photo\n"
        "read_photo(Path(sys.argv[1]), name='a.jpg'); print('pillow_heif' in sys.modules)"
    )
    answer = subprocess.run(
        [sys.executable, "-c", program, str(path)], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "False"
