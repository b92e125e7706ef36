"""Guards for the domains that the formulas of the trade state.

Each guard returns nothing and raises `DomainError` in one wording, so that a person meets the same
sentence everywhere. The comparisons are written so that "not a number" fails them.
"""

from __future__ import annotations

from datetime import datetime
from math import inf

from qa.errors import DomainError


def require_positive(quantity: str, value: float) -> None:
    """Refuse a figure that is not finite and above nought.

    Args:
        quantity: the figure's name with its unit, such as "resin, kg".
        value: the figure.

    Raises:
        DomainError: the figure is nought, negative, infinite or not a number.

    >>> require_positive("resin, kg", 0.0)
    Traceback (most recent call last):
    qa.errors.DomainError: resin, kg is 0.0; it must be above 0.
    """
    if not 0.0 < value < inf:
        raise DomainError(quantity, value, "above 0")


def require_not_negative(quantity: str, value: float) -> None:
    """Refuse a figure that is not finite and at least nought.

    Args:
        quantity: the figure's name with its unit.
        value: the figure.

    Raises:
        DomainError: the figure is negative, infinite or not a number.

    >>> require_not_negative("catalyst, ml", -1.0)
    Traceback (most recent call last):
    qa.errors.DomainError: catalyst, ml is -1.0; it must be 0 or more.
    """
    if not 0.0 <= value < inf:
        raise DomainError(quantity, value, "0 or more")


def require_finite(quantity: str, value: float) -> None:
    """Refuse a figure that is infinite or not a number.

    Args:
        quantity: the figure's name with its unit.
        value: the figure.

    Raises:
        DomainError: the figure is infinite or not a number.

    >>> require_finite("deck temperature, °C", float("nan"))
    Traceback (most recent call last):
    qa.errors.DomainError: deck temperature, °C is nan; it must be a finite number.
    """
    if not -inf < value < inf:
        raise DomainError(quantity, value, "a finite number")


def require_aware(quantity: str, moment: datetime) -> None:
    """Refuse a time that does not say its offset from UTC.

    Args:
        quantity: what the time is.
        moment: the time.

    Raises:
        DomainError: the time has no offset.

    >>> require_aware("start", datetime(2026, 5, 12, 8, 40))
    Traceback (most recent call last):
    qa.errors.DomainError: start is 2026-05-12T08:40:00; it must be a time with an offset.
    """
    if moment.utcoffset() is None:
        raise DomainError(quantity, moment.isoformat(), "a time with an offset")
