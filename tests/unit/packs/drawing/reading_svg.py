"""Reads a drawing back as a person's eye would: its words, and the straight lines in it."""

from __future__ import annotations

import re
from itertools import pairwise
from math import hypot
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]


def tree_of(drawing: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawing)


def words_of(drawing: str) -> list[str]:
    return [element.text or "" for element in tree_of(drawing).iter(f"{SVG}text")]


def title_of(drawing: str) -> str:
    return tree_of(drawing).findtext(f"{SVG}title") or ""


def strokes_of(drawing: str) -> list[tuple[Point, Point]]:
    """All straight lines of paths that are made of moves, lines and closings only."""
    found = []
    for path in tree_of(drawing).iter(f"{SVG}path"):
        for part in re.findall(r"M[^M]*", path.get("d", "")):
            if set(part) & set("AHV"):
                continue
            pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", part)
            points = [(float(x), float(y)) for x, y in pairs]
            if part.endswith("Z"):
                points.append(points[0])
            found += pairwise(points)
    return found


def lengths_of(drawing: str) -> list[float]:
    return [hypot(x2 - x1, y2 - y1) for (x1, y1), (x2, y2) in strokes_of(drawing)]
