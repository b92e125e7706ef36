"""Reads laid-out pages into a structure tree: one node per element, however many pages it spans.

Together with `tagging`, which writes the tree, it takes the place of WeasyPrint's own, which starts
every element anew on each page, so that a table of nine pages is nine tables, gives header cells no
scope, and wraps every line of text in an element of its own. Ours follows ISO 32000-1, 14.7 to 14.9
as ISO 14289-1 (PDF/UA-1) wants it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pydyf

from qa.errors import PackError
from qa.packs.rendering.marking import Box, children_of, is_margin_box
from qa.packs.rendering.roles import GROUPING, SCOPES, SVG, SVG_TITLE, structure_type

_POINTS_PER_PX = 0.75


@dataclass(slots=True, eq=False)
class Node:
    """One structure element before it is written.

    Attributes:
        kind: its structure type.
        tag: the HTML name it comes from, empty where it comes from none.
        parent: the node around it, None for the document.
        kids: nodes, (page, MCID) pairs and (page, annotation) pairs in the order of reading.
        extra: further entries of its dictionary.
    """

    kind: str
    tag: str
    parent: Node | None
    kids: list[Node | tuple[int, int | pydyf.Dictionary]] = field(default_factory=list)
    extra: Mapping[str, object] = field(default_factory=dict)

    def add(self, kind: str, tag: str = "", extra: Mapping[str, object] | None = None) -> Node:
        """Append and return a new node inside this one."""
        kid = Node(kind, tag, self, extra=extra or {})
        self.kids.append(kid)
        return kid


class StructureTree:
    """The nodes of a document, collected page by page.

    Attributes:
        root: the document's node.
    """

    def __init__(self) -> None:
        self.root = Node("Document", "html", None)
        self._nodes: dict[tuple[int, str], Node] = {}
        self._page = 0
        self._height_px = 0.0
        self._marks: Mapping[Box, Mapping[str, Any]] = {}

    def read_page(self, page: int, box: Box, marks: Mapping[Box, Mapping[str, Any]]) -> None:
        """Add what one page shows.

        Args:
            page: its index from 0.
            box: its laid-out box.
            marks: the marked content of its stream, by box.
        """
        self._page, self._marks, self._height_px = page, marks, box.margin_height()
        self._read(box, self.root)

    def _read(self, box: Box, around: Node) -> None:
        if is_margin_box(box):
            return
        node = self._node(box, around)
        if box.link_annotation:
            node.kids.append((self._page, box.link_annotation))
        if box in self._marks:
            _holder(node).kids.append((self._page, self._marks[box]["mcid"]))
        for child in children_of(box):
            self._read(child, node)

    def _node(self, box: Box, around: Node) -> Node:
        """Return the node that a box's content belongs to, made when it first appears."""
        if box.element is None or box.element_tag in {"html", "body"}:
            return around
        key = (id(box.element), box.element_tag)
        node = self._nodes.get(key)
        if node is None:
            node = self._nodes[key] = self._new_node(box, around)
        return node

    def _new_node(self, box: Box, around: Node) -> Node:
        tag = box.element_tag
        if tag == "li::marker":
            return around.add("Lbl", tag)
        if around.kind == "LI" and around.tag == "li":
            around = _body(around)
        kind = structure_type(tag, around.kind, around.tag)
        return around if kind is None else around.add(kind, tag, self._extra(kind, box))

    def _extra(self, kind: str, box: Box) -> Mapping[str, object]:
        extra: dict[str, object] = {}
        if "lang" in box.element.attrib:
            extra["Lang"] = pydyf.String(box.element.get("lang"))
        if kind in {"TH", "TD"}:
            extra |= _cell(kind, box)
        elif kind == "Figure":
            extra |= {"Alt": pydyf.String(_alt_text(box.element)), "A": self._place(box)}
        return extra

    def _place(self, box: Box) -> pydyf.Dictionary:
        left, top = box.content_box_x(), self._height_px - box.content_box_y()
        corners = (left, top - box.height, left + box.width, top)
        points = [round(corner * _POINTS_PER_PX, 2) for corner in corners]
        return pydyf.Dictionary(
            {"O": "/Layout", "Placement": "/Block", "BBox": pydyf.Array(points)}
        )


def _holder(node: Node) -> Node:
    """Return the node for text directly inside another: grouping types hold none themselves."""
    if node.kind == "LI" and node.tag == "li":
        return _body(node)
    if node.kind not in GROUPING:
        return node
    last = node.kids[-1] if node.kids else None
    return last if isinstance(last, Node) and not last.tag else node.add("P")


def _body(item: Node) -> Node:
    for kid in item.kids:
        if isinstance(kid, Node) and kid.kind == "LBody":
            return kid
    return item.add("LBody", "li body")


def _cell(kind: str, box: Box) -> Mapping[str, object]:
    attributes: dict[str, object] = {"O": "/Table"}
    if kind == "TH":
        attributes["Scope"] = f"/{SCOPES.get(box.element.get('scope'), 'Column')}"
    spans = {"ColSpan": box.colspan, "RowSpan": box.rowspan}
    attributes |= {name: span for name, span in spans.items() if span != 1}
    return {"A": pydyf.Dictionary(attributes)} if len(attributes) > 1 else {}


def _alt_text(element: Any) -> str:
    """Return what a picture says in words.

    Raises:
        PackError: it says nothing.
    """
    words = element.findtext(SVG_TITLE) if element.tag == SVG else element.get("alt")
    if not (words or "").strip():
        source = element.get("src", "a drawing")
        raise PackError(
            f"{source} has no words for a reader who cannot see it; give it an alt text."
        )
    return str(words).strip()
