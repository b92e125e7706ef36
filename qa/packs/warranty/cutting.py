"""Cutting what people typed to the room that it has; the whole of it always stands elsewhere."""

from __future__ import annotations

from textwrap import shorten

_MORE = " …"


def cut(text: str, characters: int) -> str:
    """A text as it is where it fits, else cut at a word; a word that alone is too long, inside it.

    >>> cut("Rear extension and porch", 16)
    'Rear extension …'
    >>> cut("Unbreakable", 8)
    'Unbrea …'
    """
    if len(text) <= characters:
        return text
    shortened = shorten(text, characters, placeholder=_MORE)
    return shortened if shortened != _MORE.strip() else text[: characters - len(_MORE)] + _MORE
