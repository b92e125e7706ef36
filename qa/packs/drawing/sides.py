"""The sides of a plan on the sheet: where they run, which way is out, and what lies beside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, hypot

from qa.packs.drawing.canvas import Place
from qa.packs.drawing.hatching import Ring
from qa.packs.drawing.placing import Box, LabelPlacer
from qa.trade.vocabulary import EdgeKind

_SHORTEST_MM = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One side of an outline on the sheet.

    Attributes:
        start: where it begins.
        end: where it ends.
        outward: one millimetre away from the roof.
        length_m: its true length in plan, m.
        kind: what finishes it, or None where that is not known.
    """

    start: Place
    end: Place
    outward: Place
    length_m: float
    kind: EdgeKind | None

    @property
    def length_mm(self) -> float:
        """Its length on the sheet, mm."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1]) or _SHORTEST_MM

    def at(self, along_mm: float, out_mm: float) -> Place:
        """Return a place so far along the side and so far outside it, mm."""
        share = along_mm / self.length_mm
        return (
            self.start[0] + (self.end[0] - self.start[0]) * share + self.outward[0] * out_mm,
            self.start[1] + (self.end[1] - self.start[1]) * share + self.outward[1] * out_mm,
        )

    def strip(self, from_mm: float, to_mm: float) -> Ring:
        """Return the corners of a strip along the side, a little short of its ends."""
        last = self.length_mm - 0.3
        return (
            self.at(0.3, from_mm),
            self.at(last, from_mm),
            self.at(last, to_mm),
            self.at(0.3, to_mm),
        )

    @property
    def reading_deg(self) -> float:
        """The angle at which words along the side are read from below or from the right."""
        angle = degrees(atan2(self.end[1] - self.start[1], self.end[0] - self.start[0]))
        while angle >= 89.999:
            angle -= 180.0
        while angle < -90.001:
            angle += 180.0
        return angle


def sides_of(
    ring: Ring, lengths_m: Sequence[float], kinds: Sequence[EdgeKind | None]
) -> tuple[Side, ...]:
    """Return the sides of an outline that is drawn as a ring of corners."""
    closed = list(pairwise((*ring, ring[0])))
    x0, y0 = ring[0]
    doubled = sum((a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0) for a, b in closed)
    way = 1.0 if doubled > 0.0 else -1.0
    return tuple(
        Side(
            start=start,
            end=end,
            outward=_outward(start, end, way),
            length_m=length_m,
            kind=kind,
        )
        for (start, end), length_m, kind in zip(closed, lengths_m, kinds, strict=True)
    )


def take_upright(placer: LabelPlacer, strips: Iterable[Ring]) -> None:
    """Keep labels off those strips that are upright rectangles; others have no box of their own."""
    for strip in strips:
        if is_upright(strip):
            placer.take(box_of(strip))


def is_upright(ring: Ring) -> bool:
    """Return whether a ring of four corners is an upright rectangle, to a hundredth of a mm."""
    box = box_of(ring)
    x, y = ring[0]
    return min(abs(x - box.left), abs(x - box.right)) < 0.01 and (
        min(abs(ring[1][0] - box.left), abs(ring[1][0] - box.right)) < 0.01
        and min(abs(y - box.top), abs(y - box.bottom)) < 0.01
    )


def box_of(ring: Ring) -> Box:
    """Return the upright box round a ring."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    return Box(left=min(xs), top=min(ys), width=max(xs) - min(xs), height=max(ys) - min(ys))


def _outward(start: Place, end: Place, way: float) -> Place:
    run, fall = end[0] - start[0], end[1] - start[1]
    length = hypot(run, fall) or 1.0
    return fall * way / length, -run * way / length


def strips_meet(one: Ring, other: Ring) -> bool:
    """Return whether two convex quadrilaterals overlap.

    Source: separating axes, which for convex figures are normals of their sides.
    """
    for ring in (one, other):
        for start, end in pairwise((*ring, ring[0])):
            normal = (end[1] - start[1], start[0] - end[0])
            a = [normal[0] * x + normal[1] * y for x, y in one]
            b = [normal[0] * x + normal[1] * y for x, y in other]
            if max(a) <= min(b) or max(b) <= min(a):
                return False
    return True
