"""Fall of a roof as one plane through surveyed levels, with its uncertainty.

A fall is given in millimetres per metre: 1:80 is 12.5, 1:40 is 25; the larger the second number
of such a ratio, the flatter the roof. The plane tells the fall of the whole; what single places do
is the business of `qa.trade.drainage` and `qa.trade.ponding`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, fsum, hypot, sqrt

from qa.trade.domain import require_positive
from qa.trade.survey import Level, in_one_line, require_levels

MM_PER_M = 1000.0

COVERAGE_FACTOR = 2.0
"""Coverage factor k of an expanded uncertainty (JCGM 100:2008, 6.3, from memory)."""

_NO_WIDTH = 1e-9
"""Width of a survey against its length below which its levels are taken to lie in one line."""

_NO_FALL_MM_PER_M = 1e-9
"""Fall below which there is no downhill direction."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaneFall:
    """The fall of the least-squares plane through levels.

    Attributes:
        fall_mm_per_m: steepest fall of the plane, mm/m, 0 or more.
        direction_deg: way in which water runs, degrees anticlockwise from +x, 0 to below 360;
            None where the plane is level.
        standard_uncertainty_mm_per_m: of the fall, from the residuals; None for three levels,
            which leave none.
        direction_uncertainty_deg: standard uncertainty of the direction, from the residuals; None
            for three levels or a level plane.
        centre_m: the mean of the levels (x, y, z), through which the plane passes, m.
        residuals_mm: each level's height above the plane, in the order given, mm.
    """

    fall_mm_per_m: float
    direction_deg: float | None
    standard_uncertainty_mm_per_m: float | None
    direction_uncertainty_deg: float | None
    centre_m: Level
    residuals_mm: tuple[float, ...]

    @property
    def expanded_uncertainty_mm_per_m(self) -> float | None:
        """Expanded uncertainty of the fall, k = 2, mm/m; None where there is no standard one."""
        if self.standard_uncertainty_mm_per_m is None:
            return None
        return COVERAGE_FACTOR * self.standard_uncertainty_mm_per_m


def one_in(fall_mm_per_m: float) -> float:
    """Return N of a fall of 1:N.

    Args:
        fall_mm_per_m: the fall, mm/m, above 0.

    Raises:
        DomainError: the fall is not above 0.

    >>> one_in(12.5), one_in(25.0)
    (80.0, 40.0)
    """
    require_positive("fall, mm/m", fall_mm_per_m)
    return MM_PER_M / fall_mm_per_m


def fall_of_ratio(one_in: float) -> float:
    """Return the fall of 1:N, mm/m.

    Args:
        one_in: N, above 0; a larger N is a flatter roof.

    Raises:
        DomainError: N is not above 0.

    >>> fall_of_ratio(80), fall_of_ratio(40)
    (12.5, 25.0)
    """
    require_positive("N of a fall of 1:N", one_in)
    return MM_PER_M / one_in


def plane_fall(levels_m: Sequence[Level]) -> PlaneFall:
    """Return the fall and direction of the least-squares plane through levels.

    The plane z = z0 + a (x - x0) + b (y - y0) through the mean (x0, y0, z0) makes the sum of the
    squared residuals r least. Its fall is sqrt(a^2 + b^2), downhill along (-a, -b). With n levels
    s^2 = sum(r^2) / (n - 3); the covariance of a and b is s^2 times the inverse of the centred
    squares and products of x and y, and goes through the fall's derivatives (a, b) / fall to its
    standard uncertainty. It speaks of the scatter of the levels about a plane, so it holds
    unevenness and reading error alike, but no error that all levels share.

    Coordinates are taken about their mean before anything is multiplied, and y enters only by
    what x does not explain, so coordinates of a map grid lose no digits.

    Args:
        levels_m: at least three levels (x, y, z), m, finite, not all in one line.

    Raises:
        DomainError: fewer than three levels, a figure that is not finite, or levels in one line,
            which the sentence names by its two ends.

    Source: linear least squares, JCGM 100:2008 H.3 for the covariance (from memory).

    >>> eaves_to_ridge = [(0, 0, 0.0), (4, 0, 0.05), (4, 3, 0.05), (0, 3, 0.0)]
    >>> fall = plane_fall(eaves_to_ridge)
    >>> round(fall.fall_mm_per_m, 9), fall.direction_deg
    (12.5, 180.0)
    """
    require_levels(levels_m)
    count = len(levels_m)
    centre = _mean(levels_m)
    x, y, z = (tuple(level[axis] - centre[axis] for level in levels_m) for axis in range(3))
    plane = _plane(x, y, z, levels_m)
    residuals = tuple(
        dz - plane.rise_x * dx - plane.rise_y * dy for dx, dy, dz in zip(x, y, z, strict=True)
    )
    variance = fsum(r * r for r in residuals) / (count - 3) if count > 3 else None
    return _as_fall(plane, variance, centre, residuals)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plane:
    """Rise along x and y, and the inverse of the centred squares and products."""

    rise_x: float
    rise_y: float
    spread_xx: float
    spread_xy: float
    spread_yy: float


def _mean(levels_m: Sequence[Level]) -> Level:
    """Return the mean by two passes, so that a large offset costs no digit."""
    count = len(levels_m)
    first = levels_m[0]
    x, y, z = (
        first[axis] + fsum(level[axis] - first[axis] for level in levels_m) / count
        for axis in range(3)
    )
    return x, y, z


def _plane(
    x: tuple[float, ...], y: tuple[float, ...], z: tuple[float, ...], levels_m: Sequence[Level]
) -> _Plane:
    """Solve for the plane: the wider axis first, the other by what the first leaves of it."""
    if _dot(x, x) < _dot(y, y):
        turned = _plane(y, x, z, levels_m)
        return _Plane(
            rise_x=turned.rise_y,
            rise_y=turned.rise_x,
            spread_xx=turned.spread_yy,
            spread_xy=turned.spread_xy,
            spread_yy=turned.spread_xx,
        )
    length = _dot(x, x)
    share = _dot(x, y) / length if length > 0.0 else 0.0
    across = tuple(dy - share * dx for dx, dy in zip(x, y, strict=True))
    width = _dot(across, across)
    if not width > _NO_WIDTH * _NO_WIDTH * length:
        raise in_one_line(levels_m)
    rise_y = _dot(across, z) / width
    return _Plane(
        rise_x=_dot(x, z) / length - share * rise_y,
        rise_y=rise_y,
        spread_xx=1.0 / length + share * share / width,
        spread_xy=-share / width,
        spread_yy=1.0 / width,
    )


def _as_fall(
    plane: _Plane, variance: float | None, centre: Level, residuals: tuple[float, ...]
) -> PlaneFall:
    a, b = plane.rise_x, plane.rise_y
    fall = hypot(a, b)
    is_level = fall * MM_PER_M <= _NO_FALL_MM_PER_M
    along = across = None
    if variance is not None:
        down_x, down_y = (1.0, 0.0) if is_level else (a / fall, b / fall)
        along = sqrt(variance * _spread(plane, down_x, down_y))
        across = sqrt(variance * _spread(plane, -down_y, down_x))
        if is_level:
            along = max(along, across)
    return PlaneFall(
        fall_mm_per_m=fall * MM_PER_M,
        direction_deg=None if is_level else downhill_deg(a, b),
        standard_uncertainty_mm_per_m=None if along is None else along * MM_PER_M,
        direction_uncertainty_deg=None if is_level or across is None else degrees(across / fall),
        centre_m=centre,
        residuals_mm=tuple(r * MM_PER_M for r in residuals),
    )


def downhill_deg(rise_x: float, rise_y: float) -> float:
    """Return the way down a slope, degrees anticlockwise from +x, 0 to below 360.

    Args:
        rise_x: rise along x, m per m.
        rise_y: rise along y, m per m.

    >>> downhill_deg(0.0, 0.0125)
    270.0
    """
    turned = degrees(atan2(-rise_y, -rise_x)) % 360.0
    return 0.0 if turned == 360.0 else turned


def _spread(plane: _Plane, x: float, y: float) -> float:
    return plane.spread_xx * x * x + 2.0 * plane.spread_xy * x * y + plane.spread_yy * y * y


def _dot(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    return fsum(a * b for a, b in zip(one, other, strict=True))
