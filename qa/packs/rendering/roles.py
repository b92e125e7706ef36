"""The standard structure type of each HTML element, by ISO 32000-1, 14.8.4.

Elements that only carry style have no type: their content belongs to the element around them.
"""

from __future__ import annotations

from collections.abc import Mapping

SVG = "{http://www.w3.org/2000/svg}svg"
SVG_TITLE = "{http://www.w3.org/2000/svg}title"

TYPES: Mapping[str, str] = {
    "main": "Part",
    "article": "Art",
    "section": "Sect",
    "nav": "Sect",
    "blockquote": "BlockQuote",
    "p": "P",
    **{f"h{level}": f"H{level}" for level in range(1, 7)},
    "dl": "L",
    "ul": "L",
    "ol": "L",
    "li": "LI",
    "dt": "Lbl",
    "dd": "LBody",
    "table": "Table",
    "thead": "THead",
    "tbody": "TBody",
    "tfoot": "TFoot",
    "tr": "TR",
    "th": "TH",
    "td": "TD",
    "caption": "Caption",
    "figcaption": "Caption",
    "a": "Link",
    "img": "Figure",
    SVG: "Figure",
}

GROUPING = frozenset({"Document", "Part", "Art", "Sect", "BlockQuote", "L", "LI", "TOC", "Table"})
"""Types that group others; text directly inside one of them is set in a paragraph."""

SCOPES: Mapping[str | None, str] = {"col": "Column", "row": "Row"}
"""The scope of a header cell by its HTML attribute."""


def structure_type(tag: str, around: str, around_tag: str) -> str | None:
    """Return the structure type of an element, or None where it has none.

    Args:
        tag: the HTML element's name.
        around: structure type of the element around it.
        around_tag: HTML name of the element that has that type.
    """
    if tag == "ol" and (around_tag == "nav" or around == "TOCI"):
        return "TOC"
    if tag == "li" and around == "TOC":
        return "TOCI"
    if tag == "div" and around_tag == "dl":
        return "LI"
    return TYPES.get(tag)
