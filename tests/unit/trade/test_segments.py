"""Turns that are exact, and edges that meet."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from qa.trade.segments import Edge, meeting_point, turn

TENTHS = st.integers(-40, 40).map(lambda n: n / 10.0)
PLACES = st.tuples(TENTHS, TENTHS)


def exact_turn(
    start: tuple[float, float], corner: tuple[float, float], end: tuple[float, float]
) -> int:
    (ax, ay), (bx, by), (cx, cy) = ((Fraction(x), Fraction(y)) for x, y in (start, corner, end))
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    return (area > 0) - (area < 0)


@given(start=PLACES, corner=PLACES, end=PLACES)
def test_turn_is_exact_for_near_straight_paths(
    start: tuple[float, float], corner: tuple[float, float], end: tuple[float, float]
) -> None:
    assert turn(start, corner, end) == exact_turn(start, corner, end)


@given(
    start=PLACES,
    along=st.tuples(st.integers(-9, 9), st.integers(-9, 9)),
    steps=st.tuples(st.integers(-9, 9), st.integers(-9, 9)),
)
def test_turn_is_exact_along_a_line_of_tenths(
    start: tuple[float, float], along: tuple[int, int], steps: tuple[int, int]
) -> None:
    """Tenths have no exact binary form, so such points lie a hair beside their line."""
    corner, end = (
        (start[0] + step * along[0] / 10.0, start[1] + step * along[1] / 10.0) for step in steps
    )
    assert turn(start, corner, end) == exact_turn(start, corner, end)


@given(start=PLACES, corner=PLACES, end=PLACES)
def test_turn_changes_sign_with_its_direction(
    start: tuple[float, float], corner: tuple[float, float], end: tuple[float, float]
) -> None:
    assert turn(start, corner, end) == -turn(end, corner, start)


@given(a=PLACES, b=PLACES, c=PLACES, d=PLACES)
def test_meeting_does_not_hang_on_the_order(
    a: tuple[float, float],
    b: tuple[float, float],
    c: tuple[float, float],
    d: tuple[float, float],
) -> None:
    one = Edge(start=a, end=b, ring=0, number=1)
    other = Edge(start=c, end=d, ring=0, number=3)
    back = Edge(start=b, end=a, ring=0, number=1)
    met = meeting_point(one, other) is not None
    assert (meeting_point(other, one) is not None) == met
    assert (meeting_point(back, other) is not None) == met
