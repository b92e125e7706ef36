"""The contributors' guide names what is there."""

from __future__ import annotations

import re
from functools import reduce
from importlib import import_module
from pathlib import Path

import pytest

GUIDE = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
FUNCTIONS = sorted(set(re.findall(r"`(qa\.trade\.[A-Za-z_.0-9]+)`", GUIDE)))
PLACES = sorted(set(re.findall(r"^\| `([a-z.]+/[a-z_./]*)`", GUIDE, re.MULTILINE)))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_named_function_of_the_trade_is_there(name: str) -> None:
    package, area, module, *attributes = name.split(".")
    found = reduce(getattr, attributes, import_module(f"{package}.{area}.{module}"))
    assert found.__doc__


@pytest.mark.parametrize("place", PLACES)
def test_named_place_is_there(place: str) -> None:
    assert (Path(__file__).parents[2] / place).exists()
