"""The bounds within which a scene can be drawn."""

from __future__ import annotations

from qa.errors import DomainError


def require(quantity: str, value: float, low: float, high: float) -> None:
    """Refuse a parameter that a scene cannot show.

    Args:
        quantity: what it is, with its unit.
        value: the parameter.
        low: the least that can be drawn.
        high: the most that can be drawn.

    Raises:
        DomainError: the value lies outside, or is not a number.
    """
    if not low <= value <= high:
        raise DomainError(quantity, value, f"{low:g} to {high:g}")
