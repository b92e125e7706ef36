"""A roof area drawn to scale for the screen: outline, openings, sides with their lengths, bays.

The drawing is as wide as a phone, so that one unit is one pixel there and words keep their size.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot

from qa.errors import OutlineError
from qa.texts.saying import say
from qa.trade.bays import Bay
from qa.trade.notation import quantity_text
from qa.trade.outline import Outline, ring_area_m2
from qa.trade.segments import Point

WIDTH = 320.0
_TALLEST = 420.0
_SIDE, _ABOVE = 64.0, 34.0
"""Room for the lengths beside, and above and below."""
_OUT, _IN = 12.0, 16.0
"""How far a length stands outside its side, and its number inside."""
_SHORTEST = 26.0
"""A side shorter than this on the drawing bears no words; the list below it names it."""
_SLANTED = 0.5
_NARROW = 4.0
_KEY_WIDTH, _KEY_HEIGHT = 42.0, 22.0
"""Room that the key of a bay takes."""
_MOSTLY = 0.7
"""A bay of which less lies on the roof has no room for its key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWord:
    """A word on the plan.

    Attributes:
        x, y: where it stands.
        anchor: which part of it stands there: "start", "middle" or "end".
    """

    text: str
    x: float
    y: float
    anchor: str = "middle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A drawing.

    Attributes:
        title: what it shows, for those who cannot see it.
        outline, openings, bays: rings of points as SVG writes them.
        words: what stands outside, in ink.
        keys: what stands inside, softer.
        outlets: places of the outlets.
        crossing: where the outline meets itself, or None.
        said: what is wrong with the outline, or nothing.
    """

    title: str
    width: float
    height: float
    outline: str
    openings: tuple[str, ...]
    bays: tuple[str, ...]
    words: tuple[PlanWord, ...]
    keys: tuple[PlanWord, ...]
    outlets: tuple[Point, ...]
    crossing: Point | None
    said: str


def draw_plan(
    points_m: Sequence[Point],
    *,
    name: str,
    openings_m: Iterable[Sequence[Point]] = (),
    outlets_m: Iterable[Point] = (),
) -> Plan:
    """The drawing of an area with its lengths, also of one whose outline bounds none.

    Args:
        points_m: the corners, at least one.
        name: of the area.
        openings_m: outlines of its openings.
        outlets_m: places of its outlets.
    """
    paper = _Paper(points_m, beside=_SIDE, above=_ABOVE)
    sides = _sides(points_m)
    crossing, said = _fault(points_m)
    lengths = "; ".join(f"e{number} {_length(a, b)}" for number, (a, b) in enumerate(sides, 1))
    return Plan(
        title=say("Plan of %(name)s to scale. Sides: %(lengths)s.", name=name, lengths=lengths),
        width=WIDTH,
        height=paper.height,
        outline=paper.ring(points_m),
        openings=tuple(paper.ring(opening) for opening in openings_m),
        bays=(),
        words=tuple(paper.words(sides, of="length")),
        keys=tuple(paper.words(sides, of="number")),
        outlets=tuple(paper.at(outlet) for outlet in outlets_m),
        crossing=None if crossing is None else paper.at(crossing),
        said=said,
    )


def draw_bays(
    points_m: Sequence[Point],
    bays: Sequence[Bay],
    *,
    name: str,
    openings_m: Iterable[Sequence[Point]] = (),
) -> Plan:
    """The drawing of an area with its bays, each with its key where that has room.

    Args:
        points_m: the corners.
        bays: its bays.
        name: of the area.
        openings_m: outlines of its openings.
    """
    paper = _Paper(points_m, beside=_NARROW, above=_NARROW)
    return Plan(
        title=say(
            "Plan of %(name)s to scale, with its %(count)s bays.", name=name, count=len(bays)
        ),
        width=WIDTH,
        height=paper.height,
        outline=paper.ring(points_m),
        openings=tuple(paper.ring(opening) for opening in openings_m),
        bays=tuple(paper.ring(bay.corners_m) for bay in bays),
        words=(),
        keys=tuple(paper.bay_keys(bays)),
        outlets=(),
        crossing=None,
        said="",
    )


class _Paper:
    """Where metres come to lie on the drawing: y runs up the roof and down the drawing."""

    def __init__(self, points_m: Sequence[Point], *, beside: float, above: float) -> None:
        xs, ys = [x for x, _ in points_m], [y for _, y in points_m]
        self._left_m, self._top_m = min(xs), max(ys)
        across, up = max(max(xs) - min(xs), 1e-3), max(max(ys) - min(ys), 1e-3)
        self._scale = min((WIDTH - 2 * beside) / across, (_TALLEST - 2 * above) / up)
        self._left = (WIDTH - across * self._scale) / 2
        self._above = above
        self.height = round(up * self._scale + 2 * above, 1)
        self._is_left_handed = _signed_area(points_m) < 0

    def at(self, point_m: Point) -> Point:
        """A place of the roof on the drawing."""
        return (
            round(self._left + (point_m[0] - self._left_m) * self._scale, 1),
            round(self._above + (self._top_m - point_m[1]) * self._scale, 1),
        )

    def ring(self, points_m: Iterable[Point]) -> str:
        """A ring of points as SVG writes it."""
        return " ".join(f"{x:g},{y:g}" for x, y in map(self.at, points_m))

    def words(self, sides: Sequence[tuple[Point, Point]], *, of: str) -> Iterable[PlanWord]:
        """The lengths outside the sides, or their numbers inside."""
        for number, (start_m, end_m) in enumerate(sides, start=1):
            (ax, ay), (bx, by) = self.at(start_m), self.at(end_m)
            span = hypot(bx - ax, by - ay)
            if span < _SHORTEST:
                continue
            # The outside lies on the right of a side that goes anticlockwise round the roof.
            out_x, out_y = -(by - ay) / span, (bx - ax) / span
            if self._is_left_handed:
                out_x, out_y = -out_x, -out_y
            away = _OUT if of == "length" else -_IN
            yield PlanWord(
                text=_length(start_m, end_m) if of == "length" else f"e{number}",
                x=round((ax + bx) / 2 + away * out_x, 1),
                y=round((ay + by) / 2 + away * out_y, 1),
                anchor=_anchor(out_x) if of == "length" else "middle",
            )

    def bay_keys(self, bays: Iterable[Bay]) -> Iterable[PlanWord]:
        """The keys of the bays that have room for one."""
        for bay in bays:
            if bay.area_m2 < _MOSTLY * ring_area_m2(bay.corners_m):
                continue
            corners = [self.at(corner) for corner in bay.corners_m]
            xs, ys = [x for x, _ in corners], [y for _, y in corners]
            if max(xs) - min(xs) >= _KEY_WIDTH and max(ys) - min(ys) >= _KEY_HEIGHT:
                x, y = sum(xs) / len(xs), sum(ys) / len(ys)
                yield PlanWord(text=bay.key, x=round(x, 1), y=round(y, 1))


def _anchor(out_x: float) -> str:
    if out_x > _SLANTED:
        return "start"
    return "end" if out_x < -_SLANTED else "middle"


def _sides(points_m: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(points_m, (*points_m[1:], *points_m[:1]), strict=True))


def _length(start_m: Point, end_m: Point) -> str:
    return quantity_text(hypot(end_m[0] - start_m[0], end_m[1] - start_m[1]), "m")


def _signed_area(points_m: Sequence[Point]) -> float:
    return sum(ax * by - bx * ay for (ax, ay), (bx, by) in _sides(points_m)) / 2


def _fault(points_m: Sequence[Point]) -> tuple[Point | None, str]:
    try:
        _ = Outline(points_m=tuple(points_m))
    except OutlineError as error:
        return error.point_m, str(error)
    return None, ""
