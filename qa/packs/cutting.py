"""Cutting what people typed to the room that a page has for it; the record keeps the whole."""

from __future__ import annotations

from qa.packs.rendering.characters import settable


def cut(text: str, most: int) -> str:
    """The text on one line, with an ellipsis where it is longer than there is room.

    Args:
        text: any text; it is counted as it will be set, characters without a face as their codes.
        most: the most characters that fit.

    >>> cut("a very long name", 10)
    'a very lo…'
    """
    flat = " ".join(settable(text).split())
    return flat if len(flat) <= most else f"{flat[: most - 1].rstrip()}…"
