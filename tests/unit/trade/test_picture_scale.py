"""Lengths by a line of known length in the same picture.

Source of the values: similar triangles, reckoned by hand.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.picture_scale import PictureShape, estimated_length_mm

LYING = PictureShape(width=4000, height=3000)
ACROSS = ((0.1, 0.5), (0.6, 0.5))
shares = st.floats(0, 1)


def test_line_half_as_long_is_half_the_reference() -> None:
    line = ((0.2, 0.2), (0.45, 0.2))
    assert estimated_length_mm(line, reference=ACROSS, reference_mm=300, shape=LYING) == 150


def test_share_of_the_height_counts_by_the_height() -> None:
    upright = ((0.5, 0.1), (0.5, 0.6))  # 1500 px against 2000 px
    assert estimated_length_mm(
        upright, reference=ACROSS, reference_mm=300, shape=LYING
    ) == pytest.approx(225)


@given(shares, shares, shares, shares, st.integers(1, 10_000), st.integers(1, 10_000))
def test_size_of_the_copy_changes_nothing(
    ax: float, ay: float, bx: float, by: float, width: int, height: int
) -> None:
    line = ((ax, ay), (bx, by))
    small = PictureShape(width=width, height=height)
    large = PictureShape(width=4 * width, height=4 * height)
    one, other = (
        estimated_length_mm(line, reference=ACROSS, reference_mm=300, shape=shape)
        for shape in (small, large)
    )
    assert one == pytest.approx(other)


def test_reference_without_length_is_refused() -> None:
    nowhere = ((0.5, 0.5), (0.5, 0.5))
    with pytest.raises(DomainError, match="must be above 0"):
        estimated_length_mm(ACROSS, reference=nowhere, reference_mm=300, shape=LYING)


def test_picture_without_height_is_refused() -> None:
    with pytest.raises(DomainError, match="height of the picture"):
        PictureShape(width=100, height=0)
