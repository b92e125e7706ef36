"""How each kind of edge is drawn and what it is called."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import floor

from qa.packs.drawing.canvas import Canvas, Place, lines
from qa.packs.drawing.ink import HATCH, RULE, Pen
from qa.packs.drawing.sides import Side
from qa.trade.vocabulary import EdgeKind

EDGE_WORDS: Mapping[EdgeKind, str] = {
    EdgeKind.DRIP_EDGE: "drip edge",
    EdgeKind.RAISED_EDGE: "raised edge",
    EdgeKind.WALL_FILLET: "wall fillet",
    EdgeKind.FLASHING: "flashing",
}

_KERB = Pen(width_mm=1.0)
_COVER = Pen(width_mm=0.3, dashes_mm=(2.4, 0.7, 0.4, 0.7))
_LIP_MM = 0.9
_WALL_MM = 1.9
_WALL_STEP_MM = 1.1


def draw_edges(canvas: Canvas, sides: Sequence[Side]) -> None:
    """Draw what finishes each side, as it is built.

    A drip edge is a lip outside the roof; a raised edge a kerb on it; a wall fillet the wall that
    it leans on, cut; a flashing a cover that laps over the roof.
    """
    canvas.stroke(lines(_along(sides, EdgeKind.DRIP_EDGE, _LIP_MM)), RULE)
    canvas.stroke(lines(_along(sides, EdgeKind.RAISED_EDGE, -_KERB.width_mm / 2.0)), _KERB)
    walls = (_wall(side) for side in sides if side.kind is EdgeKind.WALL_FILLET)
    canvas.stroke("".join(walls), HATCH)
    canvas.stroke(lines(_along(sides, EdgeKind.FLASHING, -1.1)), _COVER)


def _along(sides: Sequence[Side], kind: EdgeKind, out_mm: float) -> Iterator[tuple[Place, Place]]:
    for side in sides:
        if side.kind is kind:
            yield side.at(0.0, out_mm), side.at(side.length_mm, out_mm)


def _wall(side: Side) -> str:
    """Return strokes at half a right angle outside the side, whole ones only."""
    strokes = floor((side.length_mm - _WALL_MM) / _WALL_STEP_MM) + 1
    starts = [index * _WALL_STEP_MM for index in range(max(strokes, 1))]
    return lines([(side.at(along, 0), side.at(along + _WALL_MM, _WALL_MM)) for along in starts])
