"""How many roofs, bays or photos to look at, and what looking at so many can tell.

Counting without putting back is hypergeometric and is done in whole numbers, so the smallest
sample is the smallest to the last digit. The operating characteristic of a plan, its chance of
letting pass, is binomial: a lot that is large beside the sample.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import comb, exp, fsum, log, log1p, perm

from qa.errors import DomainError


def zero_acceptance_size(*, lot_size: int, bad: int, risk: float = 0.05) -> int:
    """Return the smallest sample that is unlikely to miss every bad item.

    With n of N items looked at, none of D bad ones is found with the chance
    C(N - D, n) / C(N, n); the smallest n is returned for which that is no more than the risk.

    Args:
        lot_size: N, items in the lot, 1 or more.
        bad: D, the number of bad items that must not pass unseen, 1 to N.
        risk: greatest accepted chance of finding none, above 0 and below 1; taken as the decimal
            that it is written as.

    Raises:
        DomainError: a figure lies outside its range.

    Source: hypergeometric distribution, exact.

    >>> zero_acceptance_size(lot_size=50, bad=5)
    22
    """
    _require_whole("lot size", lot_size, least=1)
    _require_whole("number of bad items", bad, least=1, most=lot_size)
    if not 0.0 < risk < 1.0:
        raise DomainError("risk of finding none", risk, "above 0 and below 1")
    accepted = Fraction(str(risk))
    most_missed = accepted.numerator * perm(lot_size, bad)
    too_few, enough = 0, lot_size
    while enough - too_few > 1:
        middle = (too_few + enough) // 2
        # C(N - D, n) / C(N, n) = (N - n)! (N - D)! / (N! (N - D - n)!): D factors over D factors.
        missed = accepted.denominator * perm(lot_size - middle, bad)
        if missed <= most_missed:
            enough = middle
        else:
            too_few = middle
    return enough


def probability_found(*, lot_size: int, bad: int, sample: int, found: int) -> Fraction:
    """Return the chance that a sample holds a given number of bad items, exactly.

    C(D, k) C(N - D, n - k) / C(N, n).

    Args:
        lot_size: N, items in the lot, 1 or more.
        bad: D, bad items among them, 0 to N.
        sample: n, items looked at, 0 to N.
        found: k, bad items found, 0 or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: hypergeometric distribution, exact.

    >>> probability_found(lot_size=10, bad=3, sample=4, found=2)
    Fraction(3, 10)
    """
    _require_whole("lot size", lot_size, least=1)
    _require_whole("number of bad items", bad, least=0, most=lot_size)
    _require_whole("sample", sample, least=0, most=lot_size)
    _require_whole("number found", found, least=0)
    if found > sample:
        return Fraction(0)
    ways = comb(bad, found) * comb(lot_size - bad, sample - found)
    return Fraction(ways, comb(lot_size, sample))


def probability_passed(*, lot_size: int, bad: int, sample: int, accept: int) -> Fraction:
    """Return the chance that a lot passes: that no more bad items are found than accepted.

    Args:
        lot_size: items in the lot, 1 or more.
        bad: bad items among them, 0 to the lot size.
        sample: items looked at, 0 to the lot size.
        accept: greatest number found with which the lot passes, 0 or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: hypergeometric distribution, exact.

    >>> float(probability_passed(lot_size=50, bad=5, sample=22, accept=0)) < 0.05
    True
    """
    _require_whole("acceptance number", accept, least=0)
    return sum(
        (
            probability_found(lot_size=lot_size, bad=bad, sample=sample, found=found)
            for found in range(min(accept, sample) + 1)
        ),
        Fraction(0),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatingPoint:
    """One point of an operating characteristic.

    Attributes:
        share_bad: share of bad items in what is offered, 0 to 1.
        passed: chance that it passes, 0 to 1.
    """

    share_bad: float
    passed: float


def operating_characteristic(
    *, sample: int, accept: int, shares_bad: Iterable[float]
) -> tuple[OperatingPoint, ...]:
    """Return the chance that a plan lets pass what is offered, for each share of bad items.

    P = sum over k = 0 ... c of C(n, k) p^k (1 - p)^(n - k).

    Args:
        sample: n, items looked at, 1 or more.
        accept: c, greatest number found with which the lot passes, 0 or more.
        shares_bad: the shares p, each 0 to 1.

    Raises:
        DomainError: a figure lies outside its range.

    Source: binomial distribution; NIST/SEMATECH e-Handbook 6.2.3.2 (from memory).

    >>> points = operating_characteristic(sample=52, accept=3, shares_bad=(0.01, 0.06))
    >>> [round(point.passed, 3) for point in points]
    [0.998, 0.62]
    """
    _require_whole("sample", sample, least=1)
    _require_whole("acceptance number", accept, least=0)
    return tuple(
        OperatingPoint(share_bad=share, passed=_passed(sample, accept, share))
        for share in shares_bad
    )


def _passed(sample: int, accept: int, share: float) -> float:
    if not 0.0 <= share <= 1.0:
        raise DomainError("share of bad items", share, "0 to 1")
    if accept >= sample or share == 0.0:
        return 1.0
    if share == 1.0:
        return 0.0
    bad, good = log(share), log1p(-share)
    # In logarithms, for the number of ways outgrows every float long before the terms do.
    terms = (
        exp(log(comb(sample, found)) + found * bad + (sample - found) * good)
        for found in range(accept + 1)
    )
    return min(1.0, fsum(terms))


def _require_whole(quantity: str, value: int, *, least: int, most: int | None = None) -> None:
    if value != int(value) or value < least or (most is not None and value > most):
        domain = f"a whole number, {least} or more" if most is None else f"{least} to {most}"
        raise DomainError(quantity, value, domain)
