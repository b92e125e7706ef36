"""Charts of counts against published examples."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.count_charts import c_chart, p_chart, u_chart

WAFERS = (
    *(16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14),
    *(16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31, 13),
)
SHARES = (
    *(0.24, 0.3, 0.16, 0.2, 0.08, 0.14, 0.32, 0.18, 0.28, 0.2),
    *(0.1, 0.12, 0.34, 0.24, 0.44, 0.16, 0.2, 0.1, 0.26, 0.22),
    *(0.4, 0.36, 0.48, 0.3, 0.18, 0.24, 0.14, 0.26, 0.18, 0.12),
)
SURFACE = (6, 5, 3, 5, 3, 8, 3, 5, 4, 3, 6, 4, 6, 6, 6, 5, 7, 6, 9, 13)
PINHOLES = (4, 3, 3, 4, 5, 3, 6, 7, 5, 3, 5, 5, 4, 6, 5, 4, 4, 6, 8, 8)
SIZES = (*[2.0] * 6, *[2.5] * 7, *[2.25] * 5, *[2.75] * 2)


def test_point_on_a_limit_is_not_out() -> None:
    """NIST/SEMATECH e-Handbook 6.3.3.1, data as in NIST Dataplot: wafer 3 lies on the limit."""
    chart = c_chart(WAFERS)
    assert (chart.centre, chart.lower[0], chart.upper[0]) == (16.0, 4.0, 28.0)
    assert chart.points[2] == chart.upper[2]
    assert chart.beyond == (23,)


def test_shares_out_of_limits_are_the_handbooks() -> None:
    """NIST/SEMATECH e-Handbook 6.3.3.2, data as in NIST Dataplot: samples of 50."""
    chart = p_chart([round(share * 50) for share in SHARES], [50] * 30)
    assert chart.points == pytest.approx(SHARES)
    assert chart.centre == pytest.approx(0.231333, abs=5e-7)
    assert chart.sigmas[0] == pytest.approx(0.0596353, abs=5e-8)
    assert chart.upper[0] == pytest.approx(0.410239, abs=5e-7)
    assert chart.lower[0] == pytest.approx(0.052428, abs=5e-7)
    assert chart.beyond == (14, 22)


def test_negative_limit_of_a_count_is_nought() -> None:
    """Ishikawa's surface defects, pp. 83-84, as in NIST Dataplot."""
    chart = c_chart(SURFACE)
    assert chart.centre == pytest.approx(5.65)
    assert chart.upper[0] == pytest.approx(12.7809, abs=5e-5)
    assert set(chart.lower) == {0.0}
    assert chart.beyond == (19,)


def test_limits_follow_the_size_of_each_sample() -> None:
    """Ishikawa's varying sample sizes, pp. 81-83, as in NIST Dataplot."""
    chart = u_chart(PINHOLES, SIZES)
    assert chart.centre == pytest.approx(2.118919, abs=5e-7)
    upper = dict(zip(SIZES, chart.upper, strict=True))
    assert upper[2.0] == pytest.approx(5.20682, abs=5e-6)
    assert upper[2.25] == pytest.approx(5.03022, abs=5e-6)
    assert upper[2.5] == pytest.approx(4.88082, abs=5e-6)
    assert upper[2.75] == pytest.approx(4.75229, abs=5e-6)
    assert set(chart.lower) == {0.0}
    assert chart.beyond == ()


def test_limit_of_a_share_never_passes_one() -> None:
    chart = p_chart((4, 5, 5, 5), (5, 5, 5, 5))
    assert set(chart.upper) == {1.0}


def test_no_defects_at_all_are_no_signal() -> None:
    assert c_chart((0,) * 12).signals == ()
    assert p_chart((0,) * 12, (7,) * 12).signals == ()
    assert p_chart((7,) * 12, (7,) * 12).signals == ()


@given(samples=st.lists(st.tuples(st.integers(0, 40), st.integers(1, 64)), min_size=1, max_size=30))
def test_another_unit_of_size_keeps_the_signals(samples: list[tuple[int, int]]) -> None:
    counts, sizes = zip(*samples, strict=True)
    in_m2 = u_chart(counts, [float(size) for size in sizes])
    in_quarters = u_chart(counts, [size / 4.0 for size in sizes])
    assert in_quarters.signals == in_m2.signals
    assert in_quarters.centre == pytest.approx(4.0 * in_m2.centre)


@given(
    samples=st.lists(st.tuples(st.integers(0, 40), st.integers(40, 90)), min_size=1, max_size=30)
)
def test_shares_and_their_limits_stay_within_nought_and_one(
    samples: list[tuple[int, int]],
) -> None:
    failed, inspected = zip(*samples, strict=True)
    chart = p_chart(failed, inspected)
    for lower, upper in zip(chart.lower, chart.upper, strict=True):
        assert 0.0 <= lower <= chart.centre <= upper <= 1.0


@pytest.mark.parametrize(
    ("counts", "sizes"),
    [
        ((), ()),
        ((1, -1), (1.0, 1.0)),
        ((1, 2), (1.0, 0.0)),
        ((1, 2), (1.0,)),
        ((1, float("nan")), (1.0, 1.0)),
        ((1, 1.5), (1.0, 1.0)),
    ],
)
def test_counts_per_unit_refuse_what_cannot_be_counted(
    counts: tuple[int, ...], sizes: tuple[float, ...]
) -> None:
    with pytest.raises(DomainError):
        u_chart(counts, sizes)


@pytest.mark.parametrize(
    ("failed", "inspected"), [((), ()), ((3,), (2,)), ((0,), (0,)), ((1, 2), (5,)), ((-1,), (5,))]
)
def test_shares_refuse_more_failed_than_inspected(
    failed: tuple[int, ...], inspected: tuple[int, ...]
) -> None:
    with pytest.raises(DomainError):
        p_chart(failed, inspected)
