"""Sampling plans of MIL-STD-105E against the table as published and its own regularity."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.errors import DomainError
from qa.trade.sampling_plans import QUALITY_LEVELS, SamplingPlan, plan

LEVELS = st.sampled_from(QUALITY_LEVELS)
LOTS = st.integers(2, 1_000_000)

ACCEPT_REJECT = {(0, 1), (1, 2), (2, 3), (3, 4), (5, 6), (7, 8), (10, 11), (14, 15), (21, 22)}


def test_arrow_down_takes_the_next_plan_below() -> None:
    """Lot of 60 at 2.5 % as worked in the published table's notes."""
    assert plan(60, 2.5) == SamplingPlan(
        lot_letter="E", letter="F", n=20, accept=1, reject=2, is_whole_lot=False
    )


@pytest.mark.parametrize(
    ("lot_size", "aql", "lot_letter", "letter", "n", "accept"),
    [
        (8, 6.5, "A", "A", 2, 0),
        (9, 4.0, "B", "B", 3, 0),
        (15, 6.5, "B", "A", 2, 0),
        (15, 15.0, "B", "B", 3, 1),
        (16, 4.0, "C", "B", 3, 0),
        (50, 2.5, "D", "C", 5, 0),
        (90, 1.5, "E", "D", 8, 0),
        (150, 1.0, "F", "E", 13, 0),
        (151, 1.0, "G", "H", 50, 1),
        (280, 2.5, "G", "G", 32, 2),
        (500, 15.0, "H", "H", 50, 14),
        (501, 0.65, "J", "J", 80, 1),
        (1200, 15.0, "J", "J", 80, 21),
        (1201, 15.0, "K", "J", 80, 21),
        (10_000, 4.0, "L", "L", 200, 14),
        (35_001, 1.0, "N", "N", 500, 10),
        (500_000, 0.65, "P", "P", 800, 10),
        (500_001, 15.0, "Q", "J", 80, 21),
    ],
)
def test_plan_is_that_of_the_published_table(
    lot_size: int, aql: float, lot_letter: str, letter: str, n: int, accept: int
) -> None:
    """MIL-STD-105E, tables I and II-A, as printed in a public acceptance table."""
    assert plan(lot_size, aql) == SamplingPlan(
        lot_letter=lot_letter,
        letter=letter,
        n=n,
        accept=accept,
        reject=accept + 1,
        is_whole_lot=False,
    )


def test_doubtful_cell_leads_down_to_letter_c() -> None:
    """A at 10: an arrow up in the public table, with nothing above; down as remembered."""
    down = plan(8, 10.0)
    assert (down.lot_letter, down.letter, down.n, down.accept) == ("A", "C", 5, 1)


def test_plan_as_large_as_the_lot_looks_at_all() -> None:
    whole = plan(6, 0.65)
    assert (whole.letter, whole.n, whole.accept, whole.is_whole_lot) == ("F", 6, 0, True)
    assert plan(20, 0.65).is_whole_lot
    assert not plan(21, 0.65).is_whole_lot
    assert plan(21, 0.65).n == 20


@given(lot_size=LOTS, aql=LEVELS)
def test_every_plan_has_a_pair_of_the_standard(lot_size: int, aql: float) -> None:
    found = plan(lot_size, aql)
    assert (found.accept, found.reject) in ACCEPT_REJECT
    assert 1 <= found.n <= lot_size
    assert found.accept < found.n


@given(one=LOTS, other=LOTS, aql=LEVELS)
def test_larger_lot_never_has_a_smaller_letter(one: int, other: int, aql: float) -> None:
    smaller, larger = (plan(lot_size, aql) for lot_size in sorted((one, other)))
    assert smaller.lot_letter <= larger.lot_letter
    if smaller.lot_letter == larger.lot_letter:
        assert smaller.letter == larger.letter


def test_share_accepted_never_falls_at_a_laxer_level() -> None:
    for lot_size in (8, 50, 500, 10_000, 500_001):
        shares = [plan(lot_size, aql).accept / plan(lot_size, aql).n for aql in QUALITY_LEVELS]
        assert all(later >= sooner for sooner, later in pairwise(shares))


@pytest.mark.parametrize(
    ("lot_size", "aql"), [(1, 1.0), (0, 1.0), (-5, 1.0), (60, 3.0), (60, float("nan"))]
)
def test_plan_refuses_what_the_table_does_not_hold(lot_size: int, aql: float) -> None:
    with pytest.raises(DomainError):
        plan(lot_size, aql)
