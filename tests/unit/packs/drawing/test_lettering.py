from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing.ink import LABEL_STRONG, SMALL, Lettering
from qa.packs.drawing.lettering import broken_into_lines, cut_to_fit, width_mm

VENDOR = Path(__file__).resolve().parents[4] / "qa" / "static" / "vendor"
KNOWN = [chr(code) for code in range(0x20, 0x7F)] + list("\u00a0°²³·×–…−±‘’“”→")


@pytest.mark.parametrize(
    ("face", "is_semibold"), [("Regular", False), ("Semibold", True)], ids=["regular", "semibold"]
)
def test_widths_are_those_of_the_shipped_faces(face: str, is_semibold: bool) -> None:
    path = next(VENDOR.glob(f"source-sans-*/LaidtrueSans-{face}.ttf"))
    with TTFont(path) as font:
        names, advances = font.getBestCmap(), font["hmtx"]
        unit = font["head"].unitsPerEm
        expected = {letter: advances[names[ord(letter)]][0] / unit for letter in KNOWN}
    lettering = Lettering(size_pt=72.0 / 25.4, is_semibold=is_semibold)
    assert {letter: width_mm(letter, lettering) for letter in KNOWN} == pytest.approx(expected)


def test_figures_are_all_of_one_width() -> None:
    assert len({width_mm(figure, SMALL) for figure in "0123456789"}) == 1


def test_letter_no_face_holds_is_as_wide_as_its_code_point() -> None:
    assert width_mm("屋", SMALL) == width_mm("[U+5C4B]", SMALL)
    assert width_mm("Dach 🏠", LABEL_STRONG) == width_mm("Dach [U+1F3E0]", LABEL_STRONG)


def test_cut_leaves_no_half_of_a_code_point() -> None:
    room_mm = width_mm("Dach [U+1F3", SMALL)
    assert cut_to_fit("Dach 🏠 Süd", room_mm, SMALL) == "Dach…"


@given(text=st.text(), room_mm=st.floats(0.0, 100.0))
def test_cut_text_is_never_wider_than_its_room(text: str, room_mm: float) -> None:
    assert width_mm(cut_to_fit(text, room_mm, SMALL), SMALL) <= room_mm + 1e-9


def test_text_that_fits_is_left_alone() -> None:
    assert cut_to_fit("Main roof", 40.0, LABEL_STRONG) == "Main roof"
    assert cut_to_fit("Main roof over the kitchen", 15.0, LABEL_STRONG).endswith("…")
    assert cut_to_fit("Main roof", 0.5, LABEL_STRONG) == ""


@given(words=st.lists(st.text("abcx", min_size=1, max_size=12), max_size=30))
def test_broken_lines_keep_every_word_in_order(words: list[str]) -> None:
    lines = broken_into_lines(" ".join(words), 40.0, SMALL)
    assert " ".join(lines).split() == words
    assert all(width_mm(line, SMALL) <= 40.0 for line in lines)
