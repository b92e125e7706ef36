from __future__ import annotations

from qa.packs.drawing import ConsumptionChart, ConsumptionSection, draw_consumption_chart
from tests.unit.packs.drawing.reading_svg import title_of, tree_of, words_of
from tests.unit.packs.drawing.samples import CONSUMPTION, consumption_row


def chart(*rows, height_mm: float = 200.0) -> ConsumptionChart:
    section = ConsumptionSection(title="Resin", rows=rows)
    return ConsumptionChart(sections=(section,), height_mm=height_mm)


def test_each_row_states_value_and_verdict_in_words() -> None:
    words = words_of(draw_consumption_chart(CONSUMPTION)[0])
    for word in ("Main roof", "1.56", "within", "1.21", "outside, put right", "not recorded"):
        assert word in words


def test_what_was_not_recorded_has_no_value() -> None:
    words = words_of(
        draw_consumption_chart(chart(consumption_row("Roof", None, "not recorded")))[0]
    )
    assert "–" in words
    assert "0.00" not in words


def test_long_lists_go_on_in_further_drawings() -> None:
    rows = [consumption_row(f"Area {n}", 1.5, "within") for n in range(60)]
    drawings = draw_consumption_chart(chart(*rows, height_mm=150.0))
    words = [word for drawing in drawings for word in words_of(drawing)]
    heights = [
        float((tree_of(drawing).get("height") or "").removesuffix("mm")) for drawing in drawings
    ]
    assert [word for word in words if word.startswith("Area ")] == [f"Area {n}" for n in range(60)]
    assert "Resin, continued" in words
    assert max(heights) <= 150.0


def test_continued_drawings_keep_one_axis() -> None:
    rows = [consumption_row("Far off", 2.6, "outside", is_outside=True)]
    rows += [consumption_row(f"Area {n}", 1.5, "within") for n in range(40)]
    first, *_, last = draw_consumption_chart(chart(*rows, height_mm=120.0))
    ticks = [{w for w in words_of(drawing) if w in {"1", "2", "3"}} for drawing in (first, last)]
    assert ticks[0] == ticks[1]


def test_a_slip_of_the_decimal_point_keeps_the_rest_readable() -> None:
    rows = (consumption_row("Slip", 156.0, "outside"), consumption_row("Roof", 1.5, "within"))
    words = words_of(draw_consumption_chart(chart(*rows))[0])
    assert "156.00" in words
    assert "100" not in words


def test_no_rows_give_a_sentence() -> None:
    for empty in (chart(), ConsumptionChart(sections=())):
        (drawing,) = draw_consumption_chart(empty)
        assert words_of(drawing) == ["No consumption is recorded."]


def test_title_tells_values_with_their_verdicts() -> None:
    title = title_of(draw_consumption_chart(CONSUMPTION)[0])
    assert "r3b1–r3b4 1.21 outside, put right" in title
