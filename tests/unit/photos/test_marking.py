"""Marks drawn upon copies: where the data says, the same every time, and never on an original."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from qa.errors import PhotoError
from qa.photos.mark_sheet import EDGE, LINE, settable
from qa.photos.marked_copies import marked_rendition
from qa.photos.marking import marked_copy
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.kinds.marks import Annotation
from qa.record.registry import BODY_READERS, Kind
from tests import strategies
from tests.examples import SOME_PHOTO
from tests.house import jpeg

SIZE = (400, 300)
GREY = 128
DARK, LIGHT = 60, 220
"""Brightness below and above which a pixel is of the ink or of its edge, in spite of the JPEG."""


def annotation(*marks: dict[str, Any]) -> Annotation:
    read = BODY_READERS[Kind.ANNOTATION]({"photo": SOME_PHOTO, "marks": list(marks)})
    assert isinstance(read, Annotation)
    return read


def grey_copy(size: tuple[int, int] = SIZE) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", size, (GREY, GREY, GREY)).save(file, "JPEG", quality=95)
    return file.getvalue()


def drawn(*marks: dict[str, Any], size: tuple[int, int] = SIZE) -> Image.Image:
    jpeg = marked_copy(grey_copy(size), [annotation(*marks)], name="grey.jpg")
    return Image.open(io.BytesIO(jpeg)).convert("L")


def brightness(picture: Image.Image, at: tuple[float, float]) -> int:
    value = picture.getpixel((int(at[0]), int(at[1])))
    assert isinstance(value, int)
    return value


@pytest.mark.parametrize("size", [(1600, 1200), (1000, 750), (750, 1000)])
@pytest.mark.parametrize("kind", ["measure", "arrow"])
def test_line_lies_where_the_data_says(kind: str, size: tuple[int, int]) -> None:
    ends = [[0.25, 0.5], [0.75, 0.5]]
    length = {"length_mm": 100} if kind == "measure" else {}
    picture = drawn({"type": kind, "points": ends} | length, size=size)
    width, height = size
    line, edge = LINE * max(size), EDGE * max(size)
    for across in (0.3, 0.4, 0.5, 0.6, 0.65):
        middle = (across * width, 0.5 * height)
        assert brightness(picture, middle) < DARK
        for side in (-1, 1):
            beside = 0.5 * height + side * (line / 2 + edge / 2)
            assert brightness(picture, (across * width, beside)) > GREY + 40
            far = 0.5 * height + side * 8 * line
            if not (kind == "measure" and 0.3 < across < 0.7):  # there its label stands
                assert abs(brightness(picture, (across * width, far)) - GREY) < 12
    for outside in (0.25 - 0.03, 0.75 + 0.03):
        assert abs(brightness(picture, (outside * width, 0.5 * height)) - GREY) < 12


def test_arrow_points_at_its_second_point() -> None:
    picture = drawn({"type": "arrow", "points": [[0.2, 0.3], [0.7, 0.3]]}, size=(1600, 1200))
    row = 0.3 * 1200
    wide = [
        sum(brightness(picture, (x, row + off)) < DARK for off in range(-25, 26))
        for x in (0.3 * 1600, 0.7 * 1600 - 30, 0.7 * 1600 - 8)
    ]
    assert wide[1] > 2 * wide[0]
    assert wide[2] < wide[1]


def test_circle_touches_the_frame_of_its_corners() -> None:
    for corners in ([[0.2, 0.2], [0.6, 0.8]], [[0.6, 0.8], [0.2, 0.2]]):
        picture = drawn({"type": "circle", "points": corners}, size=(1600, 1200))
        for at in ((0.2, 0.5), (0.6, 0.5), (0.4, 0.2), (0.4, 0.8)):
            assert brightness(picture, (at[0] * 1600, at[1] * 1200)) < DARK
        assert abs(brightness(picture, (0.4 * 1600, 0.5 * 1200)) - GREY) < 12


def test_reference_is_a_dashed_line() -> None:
    ends = [[0.1, 0.5], [0.9, 0.5]]
    picture = drawn({"type": "reference", "points": ends, "length_mm": 300}, size=(1600, 1200))
    row = [brightness(picture, (x, 600)) for x in range(200, 1400)]
    dark = sum(value < DARK for value in row) / len(row)
    assert 0.3 < dark < 0.75


def test_words_are_dark_on_light() -> None:
    text = {"type": "text", "points": [[0.5, 0.5]], "words": "MMMMMM"}
    picture = drawn(text, size=(1600, 1200)).crop((740, 590, 860, 610))
    values = list(picture.tobytes())
    assert min(values) < DARK
    assert max(values) > LIGHT


@given(strategies.marks(), st.sampled_from([(320, 240), (240, 320), (37, 500)]))
@settings(max_examples=25)
def test_same_marks_give_the_same_bytes(marks: list[dict[str, Any]], size: tuple[int, int]) -> None:
    one = annotation(*marks)
    copy = grey_copy(size)
    first = marked_copy(copy, [one], name="grey.jpg")
    assert first == marked_copy(copy, [one], name="grey.jpg")
    picture = Image.open(io.BytesIO(first))
    assert picture.size == size
    assert not picture.getexif()


def test_fullest_annotation_is_drawn() -> None:
    words = "中\u202e<b>&" + "x" * 190
    text = {"type": "text", "points": [[1, 1]], "words": words}
    assert drawn(*[text] * 50, size=(320, 240)).size == (320, 240)


def test_character_without_a_letter_is_its_code_point() -> None:
    assert settable("porch 中\u202e é") == "porch [U+4E2D][U+202E] é"


@pytest.fixture
def original(tmp_path: Path) -> Original:
    path = tmp_path / "original.jpg"
    path.write_bytes(jpeg(3))
    return Original(
        name="original.jpg", path=path, sha256=hashlib.sha256(path.read_bytes()).hexdigest()
    )


def test_copy_is_kept_by_what_is_drawn(original: Original, tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    cache = RenditionCache(folder)
    (clean,) = cache.ensure([original], sizes=(Size.LIST,))
    before = clean.path.read_bytes()
    arrow = annotation({"type": "arrow", "points": [[0.1, 0.1], [0.5, 0.5]]})
    other = annotation({"type": "arrow", "points": [[0.1, 0.1], [0.5, 0.6]]})
    first = marked_rendition(folder, clean, [arrow])
    assert marked_rendition(folder, clean, [arrow]).path == first.path
    assert marked_rendition(folder, clean, [other]).path != first.path
    assert marked_rendition(folder, clean, []) == clean
    assert marked_rendition(folder, clean, [annotation()]) == clean
    assert cache.copy(clean.sha256, Size.LIST).read_bytes() == before
    assert original.path.read_bytes() == jpeg(3)
    cache.forget(clean.sha256)
    assert not first.path.exists()


def test_altered_marked_copy_is_drawn_again(original: Original, tmp_path: Path) -> None:
    (clean,) = RenditionCache(tmp_path).ensure([original], sizes=(Size.LIST,))
    arrow = annotation({"type": "arrow", "points": [[0.1, 0.1], [0.5, 0.5]]})
    first = marked_rendition(tmp_path, clean, [arrow]).path
    whole = first.read_bytes()
    first.write_bytes(whole[:-10])
    assert marked_rendition(tmp_path, clean, [arrow]).path.read_bytes() == whole


def test_copy_that_is_no_picture_is_refused() -> None:
    with pytest.raises(PhotoError, match="grey"):
        marked_copy(b"\xff\xd8\xffnothing", [annotation()], name="grey.jpg")
