"""Values whose fields bear the names of a table's columns: from the one to the other and back."""

from __future__ import annotations

from typing import Any, TypeVar

V = TypeVar("V")


def columns_of(value: object) -> dict[str, Any]:
    """A value's columns by name; `dataclasses.asdict` would copy each value as deep as it goes.

    Args:
        value: a frozen dataclass with slots.
    """
    return {name: getattr(value, name) for name in _slots(value)}


def value_of(kind: type[V], row: object, **other: object) -> V:
    """A value from a row.

    Args:
        kind: a frozen dataclass with slots.
        row: has an attribute for every field that `other` does not give.
        other: fields that are not columns, or not in this form.
    """
    return kind(
        **{name: other[name] if name in other else getattr(row, name) for name in _slots(kind)}
    )


def _slots(of: Any) -> tuple[str, ...]:
    names: tuple[str, ...] = of.__slots__
    return names
