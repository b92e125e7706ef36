from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.packs.drawing.canvas import Canvas
from qa.packs.drawing.hatching import hatching, ring_of, spans_in_both
from qa.packs.drawing.ink import HATCH
from qa.packs.drawing.placing import Box
from tests.unit.packs.drawing.reading_svg import lengths_of, strokes_of

SQUARE = ring_of(Box(left=10.0, top=10.0, width=30.0, height=20.0))
HOLE = ring_of(Box(left=15.0, top=15.0, width=10.0, height=10.0))


def drawn(data: str) -> str:
    canvas = Canvas(width_mm=60.0, title="Hatching")
    canvas.stroke(data, HATCH)
    return canvas.markup(60.0)


@given(angle=st.floats(-90.0, 90.0), spacing=st.floats(0.3, 2.0))
def test_lines_cover_what_rings_bound_and_nothing_more(angle: float, spacing: float) -> None:
    # Length of the lines times their distance is the area, but for the strip at either end.
    area = sum(lengths_of(drawn(hatching([SQUARE], spacing_mm=spacing, angle_deg=angle))))
    assert area * spacing == pytest.approx(600.0, abs=hypot(30.0, 20.0) * spacing)


def test_openings_are_left_free() -> None:
    for (x1, y1), (x2, y2) in strokes_of(drawn(hatching([SQUARE, HOLE], spacing_mm=0.7))):
        x, y = (x1 + x2) / 2.0, (y1 + y2) / 2.0
        assert not (15.01 < x < 24.99 and 15.01 < y < 24.99)


def test_hatching_keeps_within_its_window() -> None:
    window = ring_of(Box(left=5.0, top=12.0, width=10.0, height=4.0))
    data = hatching([SQUARE], spacing_mm=0.7, within=window)
    points = [point for stroke in strokes_of(drawn(data)) for point in stroke]
    assert points
    assert all(9.99 <= x <= 15.01 and 11.99 <= y <= 16.01 for x, y in points)


def test_nothing_to_hatch_gives_no_path() -> None:
    assert hatching([], spacing_mm=1.0) == ""


def test_a_huge_figure_is_hatched_with_few_lines() -> None:
    data = hatching([ring_of(Box(left=0, top=0, width=1e9, height=1e9))], spacing_mm=1.0)
    assert data.count("M") <= 2001


def test_spans_in_both_are_what_two_lists_share() -> None:
    assert spans_in_both([(0, 5), (7, 9)], [(4, 8)]) == [(4, 5), (7, 8)]
