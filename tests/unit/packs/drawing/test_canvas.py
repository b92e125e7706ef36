from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing.canvas import Anchor, Canvas, number, rectangle
from qa.packs.drawing.ink import HATCH, LINE, SMALL
from qa.packs.drawing.lettering import width_mm
from tests.unit.packs.drawing.reading_svg import SVG, title_of, tree_of, words_of


def canvas(title: str = "A drawing", description: str = "") -> Canvas:
    return Canvas(width_mm=50.0, title=title, description=description)


@given(text=st.text())
def test_any_text_leaves_the_svg_well_formed(text: str) -> None:
    sheet = canvas(title=text, description=text)
    sheet.text(text, (1.0, 5.0), SMALL)
    assert tree_of(sheet.markup(10.0)).tag == f"{SVG}svg"


def test_markup_in_a_name_stays_text() -> None:
    sheet = canvas(title="<b>&")
    sheet.text("</text><script>1</script>", (0.0, 4.0), SMALL)
    drawing = sheet.markup(10.0)
    assert words_of(drawing) == ["</text><script>1</script>"]
    assert title_of(drawing) == "<b>&"
    assert "<script" not in drawing


def test_control_characters_are_replaced_not_written() -> None:
    sheet = canvas()
    sheet.text("a\x00b\nc", (0.0, 4.0), SMALL)
    assert words_of(sheet.markup(10.0)) == ["a�b c"]


def test_size_is_stated_where_no_style_sheet_can_change_it() -> None:
    root = tree_of(canvas().markup(20.5))
    assert root.get("style") == "width:50mm;height:20.5mm"
    assert (root.get("width"), root.get("height")) == ("50mm", "20.5mm")
    assert root.get("viewBox") == "0 0 50 20.5"


def test_strokes_of_one_pen_become_one_path() -> None:
    sheet = canvas()
    sheet.stroke("M0 0L1 1", LINE)
    sheet.stroke("M2 2L3 3", LINE)
    sheet.stroke("M4 4L5 5", HATCH)
    paths = [path.get("d") for path in tree_of(sheet.markup(9.0)).iter(f"{SVG}path")]
    assert paths == ["M0 0L1 1M2 2L3 3", "M4 4L5 5"]


def test_drawing_order_survives_merging_of_paths() -> None:
    sheet = canvas()
    sheet.stroke("M0 0L1 1", LINE)
    sheet.text("over it", (0.0, 4.0), SMALL)
    sheet.stroke("M2 2L3 3", LINE)
    assert [child.tag for child in tree_of(sheet.markup(9.0))][1:] == [
        f"{SVG}path",
        f"{SVG}text",
        f"{SVG}path",
    ]


@pytest.mark.parametrize(
    ("anchor", "shift"), [(Anchor.START, 0.0), (Anchor.MIDDLE, 0.5), (Anchor.END, 1.0)]
)
def test_text_begins_where_its_anchor_asks(anchor: Anchor, shift: float) -> None:
    sheet = canvas()
    sheet.text("6.00", (20.0, 5.0), SMALL, anchor=anchor)
    text = next(tree_of(sheet.markup(9.0)).iter(f"{SVG}text"))
    assert float(text.get("x", "")) == pytest.approx(
        20.0 - shift * width_mm("6.00", SMALL), abs=0.001
    )


def test_empty_paths_and_words_draw_nothing() -> None:
    sheet = canvas()
    sheet.stroke("", LINE)
    sheet.text("  ", (0.0, 0.0), SMALL)
    assert len(tree_of(sheet.markup(9.0))) == 1


def test_numbers_carry_no_needless_zeros() -> None:
    assert [number(value) for value in (80.0, -0.0001, 1.2345, -2.5)] == [
        "80",
        "0",
        "1.234",
        "-2.5",
    ]
    assert rectangle(0.0, 1.0, 2.0, 3.0) == "M0 1H2V4H0Z"
