"""Writes a structure tree into the PDF: its elements, its parent tree, the sign that it is tagged.

Source: ISO 32000-1, 14.7.2 (structure hierarchy), 14.7.4 (content items), 14.8.1 (tagged PDF).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pydyf

from qa.packs.rendering.structure import Node, StructureTree


def add_structure(
    pdf: Any, document: Any, pdf_version: object, page_streams: Sequence[Any]
) -> None:
    """Add the structure tree to a PDF; has the form of `weasyprint.pdf.tags.add_tags`.

    Args:
        pdf: the PDF that is being made.
        document: the laid-out document.
        pdf_version: not needed; ISO 32000-1 is the only one that PDF/A-3 knows.
        page_streams: the content stream of each page, which hold the marked content.
    """
    del pdf_version
    tree = StructureTree()
    for number, (page, stream) in enumerate(zip(document.pages, page_streams, strict=True)):
        tree.read_page(number, page._page_box, stream._tags)  # noqa: SLF001 - no public way
    TreeWriter(pdf, [len(stream._tags) for stream in page_streams]).write(tree.root)  # noqa: SLF001
    pdf.catalog["MarkInfo"] = pydyf.Dictionary({"Marked": "true"})
    pdf.catalog["ViewerPreferences"] = pydyf.Dictionary({"DisplayDocTitle": "true"})


class TreeWriter:
    """Turns nodes into objects of a PDF."""

    def __init__(self, pdf: Any, marks_per_page: Sequence[int]) -> None:
        self._pdf = pdf
        self._pages: tuple[bytes, ...] = pdf.page_references
        self._owners: list[list[bytes]] = [[b"null"] * count for count in marks_per_page]
        self._annotations: list[tuple[pydyf.Dictionary, bytes]] = []

    def write(self, root: Node) -> None:
        """Add every node, the parent tree and the root to the PDF."""
        tree_root = self._add({"Type": "/StructTreeRoot"})
        document = self._write(root, tree_root.reference)
        parents = self._add({"Nums": self._parent_numbers()})
        tree_root["K"] = document.reference
        tree_root["ParentTree"] = parents.reference
        tree_root["ParentTreeNextKey"] = len(self._pages) + len(self._annotations)
        self._pdf.catalog["StructTreeRoot"] = tree_root.reference

    def _write(self, node: Node, parent: bytes) -> pydyf.Dictionary:
        element = self._add({"S": f"/{node.kind}", "P": parent, **node.extra})
        own = next((kid[0] for kid in node.kids if not isinstance(kid, Node)), None)
        if own is not None:
            element["Pg"] = self._pages[own]
        items = [self._kid(kid, own, element) for kid in node.kids]
        if items:
            element["K"] = items[0] if len(items) == 1 else pydyf.Array(items)
        return element

    def _kid(self, kid: Node | tuple[int, Any], own: int | None, element: Any) -> object:
        if isinstance(kid, Node):
            return self._write(kid, element.reference).reference
        page, item = kid
        if isinstance(item, int):
            self._owners[page][item] = element.reference
            if page == own:
                return item
            return pydyf.Dictionary({"Type": "/MCR", "Pg": self._pages[page], "MCID": item})
        self._annotations.append((item, element.reference))
        return pydyf.Dictionary({"Type": "/OBJR", "Pg": self._pages[page], "Obj": item.reference})

    def _parent_numbers(self) -> pydyf.Array:
        numbers = pydyf.Array()
        for page, owners in enumerate(self._owners):
            numbers.extend((page, pydyf.Array(owners)))
        for key, (annotation, owner) in enumerate(self._annotations, len(self._pages)):
            annotation["StructParent"] = key
            numbers.extend((key, owner))
        return numbers

    def _add(self, entries: dict[str, Any]) -> pydyf.Dictionary:
        dictionary = pydyf.Dictionary(entries)
        self._pdf.add_object(dictionary)
        return dictionary
