"""Strips laid side by side over an outline: of mat with an overlap, of boards without.

Strips run at an angle to x and step across it from the outline's lowest side. Everything is
reckoned in the strips' own frame: the plan turned back about one point until strips run along x.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, degrees, fsum

from qa.errors import DomainError
from qa.trade.clipping import Ring, Run, chords, cut_rings, turned
from qa.trade.domain import require_positive
from qa.trade.outline import Bounds, Outline, RoofArea
from qa.trade.segments import Point, edges_of

MOST_STRIPS = 100_000
"""Most strips or lines that are laid out; more are a slip of units. Project choice."""

ROUNDING = 1e-9
"""Share of a strip, and length in m, that is rounding and not roof."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StripFrame:
    """A roof area in the frame in which its strips run along x.

    Attributes:
        angle_deg: angle from the plan's x to the strips, degrees, anticlockwise.
        pivot_m: the point of the plan that the frame is turned about, m.
        rings: the outline, then the openings, in the frame, m.
        bounds_m: the upright rectangle round the outline, in the frame, m.
    """

    angle_deg: float
    pivot_m: Point
    rings: tuple[Ring, ...]
    bounds_m: Bounds

    @classmethod
    def of(cls, roof: RoofArea, *, angle_deg: float) -> StripFrame:
        """Return the frame of a roof area whose strips run at an angle.

        Args:
            roof: the area, in plan.
            angle_deg: angle from x to the strips, degrees, -180 to 180; at 0 the frame is the plan.

        Raises:
            DomainError: the angle lies outside its range.
        """
        if not -180.0 <= angle_deg <= 180.0:
            raise DomainError("angle of the strips, degrees", angle_deg, "-180 to 180")
        plan = roof.outline.bounds_m
        pivot_m = (plan.low_x_m, plan.low_y_m)
        rings = tuple(
            turned(ring.points_m, angle_deg=-angle_deg, about_m=pivot_m)
            for ring in (roof.outline, *roof.openings)
        )
        bounds = plan if angle_deg == 0.0 else _bounds_of(rings[0])
        return cls(angle_deg=angle_deg, pivot_m=pivot_m, rings=rings, bounds_m=bounds)

    def in_plan(self, ring: Ring) -> Ring:
        """Return a ring of the frame as it lies in the plan."""
        return turned(ring, angle_deg=self.angle_deg, about_m=self.pivot_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """One strip, in the strips' own frame.

    Attributes:
        row: number of the strip, from 1.
        low_m: where the roof that it adds begins, across the strips, m.
        high_m: where it ends, m.
        runs: the stretches along the strip that have roof under them, m; openings part them only
            where they take the whole width.
    """

    row: int
    low_m: float
    high_m: float
    runs: tuple[Run, ...]

    @property
    def length_m(self) -> float:
        """Length of all runs, m."""
        return fsum(to - start for start, to in self.runs)


def strip_angle_deg(outline: Outline) -> float:
    """Return the angle at which strips run along the longest edge.

    Of edges of one length, the one nearest to x counts.

    Args:
        outline: the outline, in plan.

    Returns:
        The angle from x, degrees, above -90, at most 90.

    Source: practice of laying strips along the longest edge (common practice, no source).

    >>> strip_angle_deg(Outline(points_m=((0, 0), (3, 0), (3, 5), (0, 5))))
    90.0
    >>> strip_angle_deg(Outline(points_m=((0, 0), (4, 0), (4, 4), (0, 4))))
    0.0
    """
    lengths = outline.edge_lengths_m
    longest = max(lengths) * (1.0 - ROUNDING)
    angles = (
        _upright(degrees(atan2(edge.end[1] - edge.start[1], edge.end[0] - edge.start[0])))
        for edge, length_m in zip(edges_of(outline.points_m), lengths, strict=True)
        if length_m >= longest
    )
    return min(angles, key=lambda angle: (round(abs(angle), 6), -angle))


def _upright(angle_deg: float) -> float:
    """Return the angle of the same line, above -90 and at most 90 degrees."""
    if angle_deg > 90.0:
        return angle_deg - 180.0
    return angle_deg + 180.0 if angle_deg <= -90.0 else angle_deg + 0.0


def strip_lines_m(bounds: Bounds, *, width_m: float, overlap_m: float) -> tuple[float, ...]:
    """Return where strips begin and end across a rectangle, m.

    The first strip is one width wide, each further one adds the width less the overlap, the last
    is as narrow as what is left: ceil((height - width) / (width - overlap)) + 1 strips.

    Args:
        bounds: the rectangle, in the strips' frame.
        width_m: width of the material, m, above nought.
        overlap_m: overlap of neighbouring strips, m, nought or more, below the width.

    Raises:
        DomainError: a figure lies outside its range, or there are above 100,000 strips.

    Source: practice of laying strips one mat wide (common practice, no source).

    >>> deck = Outline(points_m=((0, 0), (4, 0), (4, 2.5), (0, 2.5)))
    >>> strip_lines_m(deck.bounds_m, width_m=1.0, overlap_m=0.05)
    (0, 1.0, 1.95, 2.5)
    """
    require_positive("width of the mat, m", width_m)
    if not 0.0 <= overlap_m < width_m:
        narrower = f"0 or more and below the mat's width of {width_m:g}"
        raise DomainError("overlap of the mat, m", overlap_m, narrower)
    step_m = width_m - overlap_m
    rows = max(1, ceil((bounds.height_m - width_m) / step_m - ROUNDING) + 1)
    if rows > MOST_STRIPS:
        raise DomainError("number of strips", rows, f"{MOST_STRIPS:,} or fewer")
    between = [bounds.low_y_m + width_m + step_m * row for row in range(rows - 1)]
    return (bounds.low_y_m, *between, bounds.high_y_m)


def lay_out_strips(
    roof: RoofArea, *, width_m: float, overlap_m: float = 0.0, angle_deg: float = 0.0
) -> tuple[Strip, ...]:
    """Return the strips over a roof area with the runs that must be covered.

    A strip's runs are those of its whole width, overlap included, so that on a slanting edge the
    longer side counts. Lengths are in plan.

    Args:
        roof: the area; its outline is in plan.
        width_m: width of the material, m, above nought.
        overlap_m: overlap of neighbouring strips, m, nought or more, below the width.
        angle_deg: angle from x to the strips, degrees, -180 to 180.

    Raises:
        DomainError: a figure lies outside its range.

    Source: geometry; see `strip_lines_m`.

    >>> l_shape = Outline(points_m=((0, 0), (6, 0), (6, 2), (3, 2), (3, 4), (0, 4)))
    >>> strips = lay_out_strips(RoofArea(outline=l_shape), width_m=1.0)
    >>> [strip.length_m for strip in strips]
    [6.0, 6.0, 3.0, 3.0]
    """
    frame = StripFrame.of(roof, angle_deg=angle_deg)
    lines = strip_lines_m(frame.bounds_m, width_m=width_m, overlap_m=overlap_m)
    return tuple(
        Strip(
            row=row,
            low_m=low_m,
            high_m=high_m,
            runs=_runs(frame.rings, low_m=low_m - (overlap_m if row > 1 else 0.0), high_m=high_m),
        )
        for row, (low_m, high_m) in enumerate(pairwise(lines), start=1)
    )


def _runs(rings: tuple[Ring, ...], *, low_m: float, high_m: float) -> tuple[Run, ...]:
    """Return the stretches along x with roof somewhere between two lines of y."""
    _, above = cut_rings(rings, axis=1, at_m=low_m)
    inside, _ = cut_rings(above, axis=1, at_m=high_m)
    places = sorted({x for ring in inside for x, _ in ring})
    runs: list[Run] = []
    for start, to in _covered(inside, places):
        if runs and start - runs[-1][1] <= ROUNDING:
            runs[-1] = (runs[-1][0], to)
        else:
            runs.append((start, to))
    return tuple(runs)


def _covered(rings: tuple[Ring, ...], places: list[float]) -> Iterator[Run]:
    """Yield the slabs between neighbouring corners that have roof in them."""
    for start, to in pairwise(places):
        across = chords(rings, axis=0, at_m=(start + to) / 2.0)
        if to - start > ROUNDING and fsum(high - low for low, high in across) > ROUNDING:
            yield start, to


def _bounds_of(ring: Ring) -> Bounds:
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return Bounds(low_x_m=min(xs), low_y_m=min(ys), high_x_m=max(xs), high_y_m=max(ys))
