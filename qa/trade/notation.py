"""Numbers and units as people write them: a real minus sign, no false digits, m² for m2."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

_UNITS: Mapping[str, str] = {
    "1": "",
    "m2": "m²",
    "cm2": "cm²",
    "kg/m2": "kg/m²",
    "g/m2": "g/m²",
    "1/m2": "per m²",
    "g/cm3": "g/cm³",
    "mm/m": "mm per m",
    "ml/kg": "ml/kg",
    "d": "days",
}


def unit_text(unit: str | None) -> str:
    """A unit as it is printed: "m²" for "m2", nothing for a count.

    >>> unit_text("kg/m2")
    'kg/m²'
    """
    return _UNITS.get(unit, unit) if unit else ""


def number_text(value: float, digits: int = 4) -> str:
    """A number with at most `digits` significant digits and no needless zeros.

    >>> number_text(-3.50004)
    '−3.5'
    >>> number_text(14250)
    '14250'
    """
    if value == 0:
        return "0"
    whole = f"{abs(value):.0f}"
    text = whole if len(whole) >= digits and abs(value) >= 1 else f"{abs(value):.{digits}g}"
    return f"−{text}" if value < 0 else text


@lru_cache(maxsize=8192)
def quantity_text(value: float, unit: str | None, digits: int = 4) -> str:
    """A number of at most `digits` significant digits with its unit.

    >>> quantity_text(24.0, "ml/kg")
    '24 ml/kg'
    """
    return f"{number_text(value, digits)} {unit_text(unit)}".rstrip()
