"""A value becomes a row's columns, and a row becomes the value again."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace

import pytest

from qa.store.columns import columns_of, value_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Tin:
    number: int
    materials: tuple[str, ...]


def test_columns_bear_the_names_of_the_fields() -> None:
    assert columns_of(Tin(number=3, materials=("resin",))) == {"number": 3, "materials": ("resin",)}


def test_value_takes_what_is_given_before_what_the_row_says() -> None:
    row = SimpleNamespace(number=3, materials="resin topcoat", more="of no interest")
    found = value_of(Tin, row, materials=tuple(row.materials.split()))
    assert found == Tin(number=3, materials=("resin", "topcoat"))


def test_row_without_a_column_is_a_fault_of_the_program() -> None:
    with pytest.raises(AttributeError):
        value_of(Tin, SimpleNamespace(number=3))
