"""How well an area is known that was reckoned from lengths measured with a tape."""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum, sqrt

from qa.trade.bays import Bay
from qa.trade.domain import require_not_negative
from qa.trade.outline import RoofArea


def area_uncertainty_m2(
    roof: RoofArea,
    *,
    length_uncertainty_m: float,
    upstands_m: Iterable[tuple[float, float]] = (),
) -> float:
    """Return the uncertainty of a roof's laid area, expanded if that of the lengths is.

    One tape measured all sides, so all of them may be long together. An outline whose sides are
    all long by e has moved outwards by e / 2 on every side: its area is larger by perimeter *
    e / 2, which for a rectangle a by b is (a + b) e. The edges of openings are counted in full,
    the slope as exact, and an upstand adds its length and its height: U = U(length) *
    ((perimeter + edges of openings) / 2 / cos(slope) + sum of (length + height)).

    Args:
        roof: outline, openings and slope.
        length_uncertainty_m: of one measured length, m, nought or more.
        upstands_m: length and height of each upstand, m.

    Raises:
        DomainError: the uncertainty is negative or not finite.

    Source: JCGM 100:2008, 5.2.2, fully correlated inputs (clause number from memory); the form
    for any outline is derived here.

    >>> from qa.trade.outline import Outline
    >>> roof = RoofArea(outline=Outline(points_m=((0, 0), (6, 0), (6, 4), (0, 4))))
    >>> round(area_uncertainty_m2(roof, length_uncertainty_m=0.01), 9)
    0.1
    """
    require_not_negative("uncertainty of a length, m", length_uncertainty_m)
    edge_m = (roof.perimeter_m + roof.opening_edge_m) / 2.0 * roof.slope_factor
    upstand_m = fsum(length_m + height_m for length_m, height_m in upstands_m)
    return length_uncertainty_m * (edge_m + upstand_m)


def bays_uncertainty_m2(bays: Iterable[Bay], *, edge_uncertainty_m: float) -> float:
    """Return the uncertainty of the area of some bays, expanded if that of their edges is.

    What is uncertain is where the work of these bays ended on the roof. The width and the length
    of one bay are wrong together, different bays independently: U = U(edge) * sqrt(sum of
    (width + height)^2).

    Args:
        bays: the bays that were worked together.
        edge_uncertainty_m: of the place of an edge between two bays, m, nought or more.

    Raises:
        DomainError: the uncertainty is negative or not finite.

    Source: as `area_uncertainty_m2`; independence of the bays is a project choice.
    """
    require_not_negative("uncertainty of an edge, m", edge_uncertainty_m)
    return edge_uncertainty_m * sqrt(fsum((bay.width_m + bay.height_m) ** 2 for bay in bays))
