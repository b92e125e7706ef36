"""A prefix as a stretch of an index: the one way of looking for words on both databases."""

from __future__ import annotations

from typing import Any

from sqlalchemy import ColumnElement, and_, true
from sqlalchemy.orm import InstrumentedAttribute

_LAST = "\U0010ffff"
"""Sorts after every letter, where text is ordered by code point."""


def begins_with(column: InstrumentedAttribute[str], prefix: str) -> ColumnElement[Any]:
    """Whether a column, which both databases must order by code point, begins with a prefix."""
    if not prefix:
        return true()
    return and_(column >= prefix, column < prefix + _LAST)
