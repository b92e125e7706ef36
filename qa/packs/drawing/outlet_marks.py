"""The mark of an outlet on a plan, and its name beside it."""

from __future__ import annotations

from collections.abc import Sequence

from qa.packs.drawing.canvas import Canvas, Place, circle
from qa.packs.drawing.ink import RULE, SMALL
from qa.packs.drawing.placing import LabelPlacer, box_round


def draw_outlets(canvas: Canvas, outlets: Sequence[Place], placer: LabelPlacer) -> None:
    """Draw every outlet, then name those that have room for it.

    Args:
        canvas: what is drawn on.
        outlets: where they are on the sheet.
        placer: what is taken already.
    """
    for outlet in outlets:
        canvas.shape(circle(outlet, 1.1), RULE)
        canvas.fill(circle(outlet, 0.45))
        placer.take(box_round(outlet, 2.4, 2.4))
    for outlet in outlets:
        place = placer.beside(outlet, "outlet", SMALL, gap_mm=1.8)
        if place is not None:
            canvas.text("outlet", place, SMALL, on_paper=True)
