"""Fixings of boards and trims: how long, how thick, how many, and the gap that boards need.

Makers of boards and the roofing trade disagree on centres and gaps, so every figure of a rule is an
argument: it is data of a specification.
"""

from __future__ import annotations

from math import floor

from qa.trade.domain import require_not_negative, require_positive

_ROUNDING = 1e-9
"""Share of a space between fixings that is rounding."""


def fixing_length_mm(
    *, board_mm: float, least_mm: float, thicknesses: float, penetration_mm: float = 0.0
) -> float:
    """Return the least length of a fixing through a board.

    The longest of three: the least length, so many thicknesses of the board, and the board with
    the wanted penetration into the joist.

    Args:
        board_mm: thickness of the board, mm, above nought.
        least_mm: least length, mm, nought or more.
        thicknesses: length over thickness of the board, nought or more.
        penetration_mm: wanted in the joist, mm, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: a board maker's published guide, which takes the greater of 50 mm and 2.5 t; the
    penetration is common practice, no source.

    >>> [
    ...     fixing_length_mm(board_mm=thickness, least_mm=50.0, thicknesses=2.5)
    ...     for thickness in (18.0, 22.0)
    ... ]
    [50.0, 55.0]
    """
    require_positive("thickness of the board, mm", board_mm)
    require_not_negative("least length of a fixing, mm", least_mm)
    require_not_negative("length of a fixing in thicknesses of the board", thicknesses)
    require_not_negative("penetration into the joist, mm", penetration_mm)
    return max(least_mm, thicknesses * board_mm, board_mm + penetration_mm)


def fixing_diameter_mm(*, board_mm: float, share: float) -> float:
    """Return the least diameter of a fixing through a board.

    diameter = share * thickness.

    Args:
        board_mm: thickness of the board, mm, above nought.
        share: diameter over thickness, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: a board maker's published guide, which takes 0.16 t.

    >>> round(fixing_diameter_mm(board_mm=18.0, share=0.16), 2)
    2.88
    """
    require_positive("thickness of the board, mm", board_mm)
    require_positive("diameter of a fixing over thickness of the board", share)
    return share * board_mm


def expansion_gap_mm(*, roof_m: float, least_mm: float, per_m_mm: float) -> float:
    """Return the gap that boards need along a side of the roof.

    gap = max(least, per metre * length of the roof across it).

    Args:
        roof_m: length of the roof across the gap, m, above nought.
        least_mm: least gap, mm, nought or more.
        per_m_mm: gap for each metre, mm, nought or more.

    Raises:
        DomainError: a figure lies outside its range.

    Source: a board maker's published guide, which takes the greater of 10 mm and 2 mm/m; 25 mm
    at a wall is common practice, no source.

    >>> [expansion_gap_mm(roof_m=side, least_mm=10.0, per_m_mm=2.0) for side in (4.0, 12.0)]
    [10.0, 24.0]
    """
    require_positive("length of the roof, m", roof_m)
    require_not_negative("least gap, mm", least_mm)
    require_not_negative("gap for each metre, mm", per_m_mm)
    return max(least_mm, per_m_mm * roof_m)


def fixings_along(length_m: float, *, centres_mm: float) -> int:
    """Return how many fixings a line takes, one at each end included.

    n = floor(length / centres) + 1, and one more where the last space is cut short.

    Args:
        length_m: length of the line, m, above nought.
        centres_mm: greatest space from fixing to fixing, mm, above nought.

    Raises:
        DomainError: a figure lies outside its range.

    Source: definition.

    >>> [fixings_along(metres, centres_mm=200.0) for metres in (0.59, 0.6, 0.61)]
    [4, 4, 5]
    """
    require_positive("length of a line of fixings, m", length_m)
    require_positive("fixing centres, mm", centres_mm)
    spaces = length_m * 1000.0 / centres_mm
    whole = floor(spaces + _ROUNDING)
    return whole + 1 + (1 if spaces - whole > _ROUNDING else 0)
