"""Where labels may stand: boxes that are taken, and a search for the first one that is free."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from qa.packs.drawing.canvas import Place
from qa.packs.drawing.ink import Lettering
from qa.packs.drawing.lettering import width_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """An upright rectangle on the sheet, mm."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Its right edge, mm."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower edge, mm."""
        return self.top + self.height

    @property
    def centre(self) -> Place:
        """Its middle."""
        return self.left + self.width / 2.0, self.top + self.height / 2.0

    def meets(self, other: Box) -> bool:
        """Return whether two boxes share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def holds(self, other: Box) -> bool:
        """Return whether another box lies wholly in this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )


def box_round(centre: Place, width: float, height: float) -> Box:
    """Return the box of a size round a place."""
    return Box(
        left=centre[0] - width / 2.0, top=centre[1] - height / 2.0, width=width, height=height
    )


def text_box(text: str, baseline: Place, lettering: Lettering) -> Box:
    """Return the box that a text takes up from the left end of its baseline."""
    height = lettering.cap_mm * 1.35
    width = width_mm(text, lettering)
    return Box(left=baseline[0], top=baseline[1] - lettering.cap_mm, width=width, height=height)


class LabelPlacer:
    """Finds free places within a frame, and remembers what is taken.

    Args:
        frame: no label leaves it.
    """

    def __init__(self, frame: Box) -> None:
        self._frame = frame
        self._taken: list[Box] = []

    def take(self, box: Box) -> None:
        """Keep later labels off a box."""
        self._taken.append(box)

    def is_free(self, box: Box) -> bool:
        """Return whether a box lies in the frame and off all that is taken."""
        return self._frame.holds(box) and not any(box.meets(taken) for taken in self._taken)

    def first_free(self, boxes: Iterable[Box]) -> Box | None:
        """Return the first free box, which is then taken, or None."""
        for box in boxes:
            if self.is_free(box):
                self._taken.append(box)
                return box
        return None

    def beside(
        self,
        mark: Place,
        text: str,
        lettering: Lettering,
        *,
        gap_mm: float = 1.3,
        reaches_mm: tuple[float, ...] = (),
    ) -> Place | None:
        """Return where the baseline of a mark's label may begin, or None where all is taken.

        Right of the mark is tried first, then left, above, below, then the corners.

        Args:
            mark: the mark's place.
            text: the label.
            lettering: how it is set.
            gap_mm: from the mark's middle to the label, mm.
            reaches_mm: further distances to try, mm; such a label needs a leader to its mark.
        """
        for reach in (gap_mm, *reaches_mm):
            starts = _starts(mark, width_mm(text, lettering), lettering.cap_mm, reach)
            box = self.first_free(text_box(text, start, lettering) for start in starts)
            if box is not None:
                return box.left, box.top + lettering.cap_mm
        return None


def _starts(mark: Place, width: float, cap: float, reach: float) -> tuple[Place, ...]:
    """Return where a label's baseline may begin at a distance from its mark, the best first."""
    x, y = mark
    right, left, middle = x + reach, x - reach - width, x - width / 2.0
    level, above, below = y + cap / 2.0, y - reach, y + reach + cap
    return (
        (right, level), (left, level), (middle, above), (middle, below),
        (right, above), (right, below), (left, above), (left, below),
    )  # fmt: skip


def nearest_point(box: Box, place: Place) -> Place:
    """Return the point of a box that is nearest to a place, where a leader ends."""
    x, y = place
    return min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)
