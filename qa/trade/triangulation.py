"""Triangles over scattered places: Delaunay's, whose circles hold no other place.

Places are whole numbers of micrometres, so that every question of side and circle is answered
exactly, by whole-number arithmetic: levels on a square grid, in one line or on one circle need no
tolerance. Outside the places lies one more corner, `BEYOND`, which makes a triangle with every
edge of the hull; so the outside is no special case.

Source: A. Bowyer and D. F. Watson, both The Computer Journal 24 (1981), from memory; the corner
beyond the hull and the digging of the cavity after J. R. Shewchuk's lecture notes, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from qa.errors import DomainError

Place = tuple[int, int]
"""A place as (x, y), whole micrometres."""

BEYOND = 0
"""The corner that lies outside the hull; the places are numbered from 1."""

_CURVE_ORDER = 10
"""The curve that orders the places passes 2^10 cells each way."""

_STRIDES = (64, 8, 1)
"""Every 64th place along the curve comes first, then every 8th, then the rest."""


class Triangulation:
    """Delaunay triangulation of places, which grows place by place.

    Args:
        places: at least three places, all different and not all in one line; they are numbered
            from 1 in the order given.

    Raises:
        DomainError: fewer than three places, a place given twice, or all places in one line.

    >>> corners = ((0, 0), (4, 0), (4, 3), (0, 3))
    >>> sorted(Triangulation(corners).triangles())
    [(1, 2, 3), (1, 3, 4)]
    """

    __slots__ = ("_apex", "_at", "_x", "_y")

    def __init__(self, places: Sequence[Place]) -> None:
        _require_different(places)
        self._x = [0, *(x for x, _ in places)]
        self._y = [0, *(y for _, y in places)]
        self._apex: list[dict[int, int]] = [{} for _ in range(len(places) + 1)]
        order = _spread_order(places)
        first = self._first_triangle(order)
        u, v, w = first
        for a, b, c in ((u, v, w), (v, u, BEYOND), (w, v, BEYOND), (u, w, BEYOND)):
            self._apex[a][b], self._apex[b][c], self._apex[c][a] = c, a, b
        self._at = u, v
        for vertex in order:
            if vertex not in first:
                self._insert(vertex)

    def add(self, place: Place) -> int:
        """Add a place that is not there yet, and return its number."""
        self._x.append(place[0])
        self._y.append(place[1])
        self._apex.append({})
        self._insert(len(self._x) - 1)
        return len(self._x) - 1

    def place(self, vertex: int) -> Place:
        """Return the place of a number."""
        return self._x[vertex], self._y[vertex]

    def star(self, vertex: int) -> Iterator[tuple[int, int]]:
        """Yield the far edge of every triangle at a place, each anticlockwise about it."""
        yield from self._apex[vertex].items()

    def has_edge(self, one: int, other: int) -> bool:
        """Return whether two places are joined by an edge."""
        return other in self._apex[one]

    def triangles(self) -> Iterator[tuple[int, int, int]]:
        """Yield the triangles, anticlockwise, each from its lowest number."""
        for a, edges in enumerate(self._apex):
            if a != BEYOND:
                for b, c in edges.items():
                    if a < b and a < c:
                        yield a, b, c

    def hull(self) -> Iterator[tuple[int, int]]:
        """Yield the edges of the hull, each anticlockwise, in no order."""
        for start, end in self._apex[BEYOND].items():
            yield end, start

    def locate(self, place: Place) -> tuple[int, int, int]:
        """Return the triangle that holds a place, or the edge of the hull that it lies beyond.

        The walk steps over any edge that has the place on its far side, from the triangle made
        last; on Delaunay's triangles it cannot go round in circles.

        Returns:
            Three numbers anticlockwise; the last is `BEYOND` outside the hull.
        """
        x, y, apex = self._x, self._y, self._apex
        px, py = place
        u, v = self._at
        if (x[v] - x[u]) * (py - y[u]) < (y[v] - y[u]) * (px - x[u]):
            u, v = v, u
        w = apex[u][v]
        while w:
            wx, wy = x[w], y[w]
            dx, dy = px - wx, py - wy
            if (x[v] - wx) * dy > (y[v] - wy) * dx:
                u = w
            elif (x[u] - wx) * dy < (y[u] - wy) * dx:
                v = w
            else:
                break
            w = apex[u][v]
        return u, v, w

    def _first_triangle(self, order: Sequence[int]) -> tuple[int, int, int]:
        u, v = order[0], order[1]
        for w in order[2:]:
            side = self._side(u, v, w)
            if side:
                return (u, v, w) if side > 0 else (v, u, w)
        raise DomainError("lie of the places", "one straight line", "spread over an area")

    def _side(self, start: int, end: int, vertex: int) -> int:
        """Return twice the area of three corners: above nought where they turn to the left."""
        x, y = self._x, self._y
        from_x, from_y = x[start], y[start]
        left = (x[end] - from_x) * (y[vertex] - from_y)
        return left - (y[end] - from_y) * (x[vertex] - from_x)

    def _insert(self, vertex: int) -> None:
        """Dig out every triangle whose circle holds the place, and fill the hole from it."""
        apex, star = self._apex, self._apex[vertex]
        u, v, w = self.locate(self.place(vertex))
        del apex[u][v], apex[v][w], apex[w][u]
        rim = [(u, v), (v, w), (w, u)]
        while rim:
            a, b = rim.pop()
            c = apex[b][a]
            if self._holds(b, a, c, vertex):
                del apex[b][a], apex[a][c], apex[c][b]
                rim.append((a, c))
                rim.append((c, b))
                continue
            apex[a][b], apex[b][vertex], star[a] = vertex, a, b
            if a and b:
                self._at = a, b

    def _holds(self, a: int, b: int, c: int, vertex: int) -> bool:
        """Return whether the circle round an anticlockwise triangle holds a place in its inside.

        With a corner beyond, the circle has opened to the half plane outside the edge of the hull,
        with the inside of that edge itself.
        """
        x, y = self._x, self._y
        px, py = x[vertex], y[vertex]
        if a and b and c:
            ax, ay = x[a] - px, y[a] - py
            bx, by = x[b] - px, y[b] - py
            cx, cy = x[c] - px, y[c] - py
            lifted = (ax * ax + ay * ay) * (bx * cy - by * cx)
            lifted += (bx * bx + by * by) * (cx * ay - cy * ax)
            return lifted + (cx * cx + cy * cy) * (ax * by - ay * bx) > 0
        start, end = (a, b) if not c else (b, c) if not a else (c, a)
        side = self._side(start, end, vertex)
        if side:
            return side > 0
        along = (x[start] - px) * (x[end] - px) + (y[start] - py) * (y[end] - py)
        return along < 0


def _require_different(places: Sequence[Place]) -> None:
    if len(places) < 3:
        raise DomainError("number of places", len(places), "3 or more")
    different = len(set(places))
    if different < len(places):
        raise DomainError("number of different places", different, f"{len(places)}, as many as all")


def _spread_order(places: Sequence[Place]) -> list[int]:
    """Return the numbers in an order that keeps walks short and triangles stout.

    Neighbours along a curve that fills the plane are neighbours in the plane; taking it thinned
    out first keeps the triangles of a regular grid from becoming needles on the way.
    """
    low_x, low_y = min(x for x, _ in places), min(y for _, y in places)
    reach = max(max(x for x, _ in places) - low_x, max(y for _, y in places) - low_y)
    cells = 1 << _CURVE_ORDER
    along = [
        _along_curve((x - low_x) * cells // (reach + 1), (y - low_y) * cells // (reach + 1))
        for x, y in places
    ]
    order = sorted(range(1, len(places) + 1), key=lambda number: along[number - 1])
    spread: dict[int, None] = {}
    for stride in _STRIDES:
        spread.update(dict.fromkeys(order[::stride]))
    return list(spread)


def _along_curve(x: int, y: int) -> int:
    """Return how far along Hilbert's curve a cell lies.

    Source: D. Hilbert, Mathematische Annalen 38 (1891); the bitwise form from memory.
    """
    far = 0
    bit = 1 << (_CURVE_ORDER - 1)
    while bit:
        right, up = bool(x & bit), bool(y & bit)
        far = far << 2 | (3 * right) ^ up
        if not up:
            if right:
                x, y = ~x, ~y
            x, y = y, x
        bit >>= 1
    return far
