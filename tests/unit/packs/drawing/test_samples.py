"""What holds for every kind of drawing, and that each still looks as it was last approved."""

from __future__ import annotations

import logging
import re

import pytest
from weasyprint import HTML

from qa.packs.drawing.ink import MM_PER_POINT
from tests.unit.packs.drawing.reading_svg import SVG, title_of, tree_of
from tests.unit.packs.drawing.samples import GOLDEN, drawn_samples

SAMPLES = drawn_samples()
NAMES = sorted(SAMPLES)
LEAST_PT = 6.5
PIXELS_PER_MM = 96.0 / 25.4


@pytest.mark.parametrize("name", NAMES)
def test_drawing_equals_its_golden_file(name: str) -> None:
    """Renew with `python -m tests.unit.packs.drawing.samples`, then look at what changed."""
    assert f"{SAMPLES[name]}\n" == (GOLDEN / f"{name}.svg").read_text(encoding="utf-8")


def test_drawing_twice_gives_the_same_text() -> None:
    assert drawn_samples() == SAMPLES


@pytest.mark.parametrize("name", NAMES)
def test_drawing_speaks_to_those_who_cannot_see_it(name: str) -> None:
    assert title_of(SAMPLES[name]).endswith(".")
    assert tree_of(SAMPLES[name]).get("role") == "img"


@pytest.mark.parametrize("name", NAMES)
def test_no_word_is_printed_smaller_than_can_be_read(name: str) -> None:
    sizes = [float(text.get("font-size", 0)) for text in tree_of(SAMPLES[name]).iter(f"{SVG}text")]
    assert min(sizes) >= LEAST_PT * MM_PER_POINT - 0.001


@pytest.mark.parametrize("name", NAMES)
def test_drawing_keeps_to_one_ink_and_one_accent(name: str) -> None:
    colours = set(re.findall(r"#[0-9a-f]+", SAMPLES[name]))
    assert colours <= {"#16191d", "#5a6066", "#b9bec3", "#e1e7ec", "#1d4d73", "#fff"}


@pytest.mark.parametrize("name", NAMES)
def test_page_neither_scales_nor_complains(name: str, caplog: pytest.LogCaptureFixture) -> None:
    style = "<style>@page { size: A4; margin: 21mm } figure svg { width: 100% }</style>"
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        page = HTML(string=f"{style}<figure>{SAMPLES[name]}</figure>").render().pages[0]
    boxes = page._page_box.descendants()
    drawn = next(box for box in boxes if str(box.element_tag).endswith("}svg"))
    _, _, width, height = map(float, (tree_of(SAMPLES[name]).get("viewBox") or "").split())
    assert drawn.width == pytest.approx(width * PIXELS_PER_MM)
    assert drawn.height == pytest.approx(height * PIXELS_PER_MM)
    assert not caplog.records


@pytest.mark.parametrize("name", NAMES)
def test_drawing_says_how_it_is_read(name: str) -> None:
    assert (tree_of(SAMPLES[name]).findtext(f"{SVG}desc") or "").endswith(".")
