"""Which characters the shipped faces can set, and what stands for one that they cannot.

A name in another script must not stop a pack, and must not become an empty box that hides what was
typed. It is set as its code point in brackets, such as [U+4E2D]: ugly, exact and reversible.
Controls that change the order of reading are shown in the same way, so that none can deceive.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from fontTools.ttLib import TTFont

from qa.packs.rendering.fetcher import FONTS

_LAYOUT = frozenset("\t\n\r\f")


@cache
def covered_characters() -> frozenset[str]:
    """Return every character that at least one shipped face holds."""
    codes: set[int] = set()
    for path in FONTS.values():
        with TTFont(path, lazy=True) as face:
            codes.update(face.getBestCmap())
    return frozenset(map(chr, codes)) | _LAYOUT


@cache
def _uncovered() -> re.Pattern[str]:
    covered = "".join(sorted(covered_characters()))
    return re.compile(f"[^{re.escape(covered)}]")


def settable(text: str) -> str:
    """Return the text with each character that no face holds as its code point in brackets.

    Args:
        text: any text, a whole page of HTML included: no character of its syntax is touched.

    Returns:
        The text in composed form (Unicode Standard Annex 15, NFC), all of it settable.
    """
    composed = unicodedata.normalize("NFC", text)
    return _uncovered().sub(lambda match: f"[U+{ord(match[0]):04X}]", composed)
