"""How many to audit: the trade's two plans, and the risk that each leaves."""

from __future__ import annotations

from math import comb

import pytest

from qa.errors import DomainError
from qa.services.auditing import audit_text, plan_audit
from qa.trade.sampling_plans import plan


def test_plans_are_those_of_the_trade() -> None:
    """C(54, n) / C(60, n) falls to 5 % between 22 and 23, by hand."""
    audit = plan_audit(60)
    assert (audit.bad, audit.zero_size) == (6, 23)
    assert audit.zero_missed == pytest.approx(comb(54, 23) / comb(60, 23))
    assert comb(54, 22) / comb(60, 22) > 0.05 >= audit.zero_missed
    assert audit.standard == plan(60, 2.5)


def test_risk_of_the_standard_plan_is_told() -> None:
    """20 of 60 with one accepted: none found, or one of the six."""
    audit = plan_audit(60)
    ways = comb(54, 20) + 6 * comb(54, 19)
    assert audit.standard_missed == pytest.approx(ways / comb(60, 20))


@pytest.mark.parametrize(
    ("lot_size", "share_bad_pct", "bad"),
    [(60, 10.0, 6), (61, 10.0, 7), (10, 0.1, 1), (1000, 0.7, 7), (30, 100.0, 30)],
)
def test_bad_ones_are_at_least_their_share(lot_size: int, share_bad_pct: float, bad: int) -> None:
    """0.7 % of 1000 is 7 as it is written, and not a little more as it is stored."""
    assert plan_audit(lot_size, share_bad_pct=share_bad_pct).bad == bad


def test_whole_lot_is_said_in_a_word() -> None:
    told = audit_text(plan_audit(2, share_bad_pct=1.0, risk_pct=1.0))
    assert "all 2, of which none may be bad" in told
    assert "2 bad ones (" not in told


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ({"share_bad_pct": 0.0}, "share of bad ones, % is 0.0"),
        ({"share_bad_pct": 100.1}, "share of bad ones, %"),
        ({"share_bad_pct": float("nan")}, "share of bad ones, % is nan"),
        ({"risk_pct": 0.0}, "risk of finding none, %"),
        ({"risk_pct": 100.0}, "above 0 and below 100"),
        ({"aql_pct": 3.0}, "one of 0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15"),
    ],
)
def test_figure_outside_its_range_is_refused(figures: dict[str, float], sentence: str) -> None:
    with pytest.raises(DomainError, match=sentence):
        plan_audit(60, **figures)
