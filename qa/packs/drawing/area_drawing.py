"""The drawing of one area of the roof plan, from the ground up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from qa.packs.drawing.canvas import Canvas, line
from qa.packs.drawing.dimensions import dimension_text, draw_dimensions
from qa.packs.drawing.edge_lines import EDGE_WORDS, draw_edges
from qa.packs.drawing.fall_arrow import draw_fall
from qa.packs.drawing.hatching import Ring, hatching
from qa.packs.drawing.ink import HATCH, LINE, RULE, SMALL
from qa.packs.drawing.lettering import width_mm
from qa.packs.drawing.outlet_marks import draw_outlets
from qa.packs.drawing.placing import Box, LabelPlacer, text_box
from qa.packs.drawing.plan_area import PlanArea
from qa.packs.drawing.sheet import PlanFrame
from qa.packs.drawing.sides import Side, box_of, sides_of, take_upright
from qa.trade.edge_matching import PlacedEdges, place_edges
from qa.trade.outline import Outline


@dataclass(slots=True)
class AreaDrawing:
    """The drawing of one area, and what it could not show."""

    canvas: Canvas
    area: PlanArea
    frame: PlanFrame
    placer: LabelPlacer = field(init=False)
    notes: list[str] = field(default_factory=list)
    is_by_order: bool = False

    def draw(self) -> list[str]:
        """Draw from the ground up: outline, edges, openings, then what is written on them."""
        outline = self.area.roof.outline
        ring = self.frame.ring(outline)
        placed = place_edges(outline.edge_lengths_m, self.area.edges)
        sides = sides_of(ring, outline.edge_lengths_m, placed.by_side)
        self.placer = LabelPlacer(self.frame.cell)
        self.canvas.stroke(line(ring, is_closed=True), LINE)
        draw_edges(self.canvas, sides)
        left_out, strips = draw_dimensions(self.canvas, sides)
        take_upright(self.placer, (*strips, *(side.strip(1.2, -1.2) for side in sides)))
        openings = [self.frame.ring(opening) for opening in self.area.roof.openings]
        self._draw_openings(openings)
        fall = self.area.fall
        rings = [ring, *openings]
        if fall and not draw_fall(self.canvas, fall, rings, self.frame.box, self.placer):
            self.notes.append(f"{fall.text}, without room for its arrow at this scale")
        draw_outlets(self.canvas, [self.frame.at(at) for at in self.area.outlets_m], self.placer)
        self.notes += _edge_notes(placed, left_out)
        self.is_by_order = placed.is_by_order
        if self.area.upstands:
            strips_text = ", ".join(
                f"{upstand.length_m:.2f} × {upstand.height_m:.2f} m"
                for upstand in self.area.upstands
            )
            self.notes.append(f"upstands, length × height: {strips_text}")
        return self.notes

    def _draw_openings(self, rings: list[Ring]) -> None:
        for ring in rings:
            self.canvas.stroke(hatching([ring], spacing_mm=1.3), HATCH)
        for ring in rings:
            self.canvas.stroke(line(ring, is_closed=True), RULE)
            self.placer.take(box_of(ring))
        names = self.area.opening_names
        for index, (ring, opening) in enumerate(zip(rings, self.area.roof.openings, strict=True)):
            name = names[index] if index < len(names) else "opening"
            self._name_opening(box_of(ring), name, _size_text(opening))

    def _name_opening(self, box: Box, name: str, size: str) -> None:
        """Write name and size in the opening, else near it, else in a note."""
        widest = max(width_mm(name, SMALL), width_mm(size, SMALL))
        lines = [text for text in (name, size) if text]
        if widest + 1.6 <= box.width and 3.0 * len(lines) + 0.8 <= box.height:
            x, y = box.centre
            top = y - 1.5 * (len(lines) - 1) + SMALL.cap_mm / 2.0
            for index, text in enumerate(lines):
                left = x - width_mm(text, SMALL) / 2.0
                self.canvas.text(text, (left, top + 3.0 * index), SMALL, on_paper=True)
            return
        text = f"{name} {size}".strip()
        place = self.placer.first_free(_beside_box(box, text))
        if place is None:
            self.notes.append(f"opening not named on the plan: {text}")
        else:
            self.canvas.text(text, (place.left, place.top + SMALL.cap_mm), SMALL, on_paper=True)


def _beside_box(box: Box, text: str) -> Iterator[Box]:
    width, (x, y) = width_mm(text, SMALL), box.centre
    cap = SMALL.cap_mm
    for start in (
        (x - width / 2.0, box.bottom + 1.2 + cap),
        (x - width / 2.0, box.top - 1.4),
        (box.right + 1.3, y + cap / 2.0),
        (box.left - 1.3 - width, y + cap / 2.0),
    ):
        yield text_box(text, start, SMALL)


def _size_text(opening: Outline) -> str:
    """Return length × width of an upright rectangular opening, m, or nothing."""
    bounds = opening.bounds_m
    filled = bounds.length_m * bounds.height_m
    is_upright = len(opening.points_m) == 4 and abs(opening.area_m2 - filled) <= 1e-6 * filled
    return f"{bounds.length_m:.2f} × {bounds.height_m:.2f}" if is_upright else ""


def _edge_notes(placed: PlacedEdges, left_out: tuple[Side, ...]) -> Iterator[str]:
    if placed.unplaced:
        named = ", ".join(
            f"{edge.key} ({EDGE_WORDS[edge.kind]}, {edge.length_m:.2f} m)"
            for edge in placed.unplaced
        )
        yield f"edges whose side the record does not tell: {named}"
    if left_out:
        short = ", ".join(dimension_text(side, with_kind=True) for side in left_out)
        yield f"sides too short for a dimension at this scale, in order: {short} m"
