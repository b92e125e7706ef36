from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.rendering.characters import covered_characters, settable

SYMBOLS = "−×·≤≥±≈°²³µμ½¼¾–—…‘’“”„«»†‡•£€§′″‰ΔθρσΩ→←↑↓₂⁰⁻✓√∑∞"
NAMES = "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßāăąćčďđēėęěģğīįıķłļľńņňőœřśşšţťūůűųŵŷźżžșțẁẃẅỳ"
SPACES = "\u00a0\u2009\u202f\u2011\u00ad"


def test_faces_hold_every_symbol_of_the_trade() -> None:
    assert covered_characters().issuperset(SYMBOLS + NAMES + SPACES)


def test_uncovered_character_is_set_as_code_point() -> None:
    assert settable("Li 李, \U0001f477") == "Li [U+674E], [U+1F477]"


def test_control_that_reverses_reading_is_shown() -> None:
    assert settable("a\u202eb") == "a[U+202E]b"


def test_decomposed_name_is_composed_first() -> None:
    assert settable("Zoe\u0308") == "Zoë"


def test_markup_of_a_page_is_left_alone() -> None:
    page = '<p class="n">\n\t&amp; &lt;b&gt; — 12\u00a0mm</p>'
    assert settable(page) == page


@given(st.text())
def test_whatever_is_typed_becomes_settable(text: str) -> None:
    assert set(settable(text)) <= covered_characters()


@pytest.mark.parametrize("character", [chr(code) for code in range(0x20, 0x7F)])
def test_every_key_of_a_keyboard_is_covered(character: str) -> None:
    assert settable(character) == character
