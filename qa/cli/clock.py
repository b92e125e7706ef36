"""The command line's clock, read here and nowhere else in it."""

from __future__ import annotations

from datetime import UTC, datetime


def now() -> datetime:
    """The present moment in UTC."""
    return datetime.now(UTC)  # noqa: TID251 - this is the edge that the rule means
