"""Decides what of a laid-out page is content, and what is only the page's furniture.

Running heads and feet, and the head of a table where it is repeated on a later page, are artifacts
in the words of ISO 32000-1, 14.8.2.2: a voice that reads the document must skip them. The rule in
one sentence: what belongs to no element is an artifact. WeasyPrint's margin boxes belong to none;
`disown_furniture` takes the element from the other kinds before the page is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager
from typing import Any

from weasyprint.formatting_structure.boxes import MarginBox
from weasyprint.layout.absolute import AbsolutePlaceholder
from weasyprint.pdf.stream import Stream

Box = Any
"""A box of WeasyPrint's layout, which carries no types."""

Link = tuple[str, str, tuple[float, float, float, float], Box]
"""Kind, target, rectangle in px and box of a link."""


class MarkingStream(Stream):  # type: ignore[misc]  # WeasyPrint carries no types
    """A content stream that marks boxes without an element as artifacts."""

    def marked(self, box: Box, tag: str) -> AbstractContextManager[None]:
        """Return a context in which what is drawn counts as content of the box, or as none."""
        if box.element is None:
            return self.artifact()  # type: ignore[no-any-return]
        return super().marked(box, tag)  # type: ignore[no-any-return]

    def clone(self, **options: Any) -> MarkingStream:
        """Return a stream of the same kind, which the parent's method would not."""
        names = ("fonts", "resources", "images", "tags", "color_profiles", "output_intent")
        defaults = {name: getattr(self, f"_{name}") for name in names}
        defaults |= {"page_rectangle": self.page_rectangle, "compress": self.compress}
        return MarkingStream(**(defaults | options))


def disown_furniture(page_boxes: Iterator[Box]) -> None:
    """Take the element from each repeated table head and each decorative picture.

    Args:
        page_boxes: the laid-out pages in order.
    """
    heads: set[int] = set()
    for page_box in page_boxes:
        for box in _flow(page_box):
            if box.element_tag == "thead":
                if id(box.element) in heads:
                    _disown(box)
                heads.add(id(box.element))
            elif box.element_tag == "img" and box.element.get("alt") == "":
                _disown(box)


def outermost_links(links: Sequence[Link]) -> list[Link]:
    """Return the links of a page without those that lie inside another to the same target.

    WeasyPrint makes one of every box inside a link, so that a bold word in it is a second link.

    Args:
        links: kind, target, rectangle and box of each, outer ones before inner ones.
    """
    kept: list[Link] = []
    for link in links:
        if not any(_lies_inside(link, outer) for outer in kept):
            kept.append(link)
    return kept


def _lies_inside(link: Link, outer: Link) -> bool:
    left, top, right, bottom = link[2]
    outer_left, outer_top, outer_right, outer_bottom = outer[2]
    same = link[:2] == outer[:2]
    across = outer_left <= left and right <= outer_right
    # The box of a bold word may stand a hair higher than the line it is part of.
    return same and across and outer_top - 4 <= top and bottom <= outer_bottom + 4


def children_of(box: Box) -> Iterator[Box]:
    """Yield the boxes inside a box in the order of reading, absolute ones in their place."""
    for child in getattr(box, "children", ()):
        yield child._box if isinstance(child, AbsolutePlaceholder) else child  # noqa: SLF001


def is_margin_box(box: Box) -> bool:
    """Return whether a box stands in the margin of its page."""
    return isinstance(box, MarginBox)


def _flow(box: Box) -> Iterator[Box]:
    if is_margin_box(box):
        return
    yield box
    for child in children_of(box):
        yield from _flow(child)


def _disown(box: Box) -> None:
    box.element = None
    for child in children_of(box):
        _disown(child)
