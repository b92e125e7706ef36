"""Several words as one list: "installer, office and owner"."""

from __future__ import annotations

from collections.abc import Sequence

from qa.texts.saying import say


def listed(words: Sequence[str]) -> str:
    """Words as a list that all of them belong to."""
    *first, last = words or ("",)
    return say("%(first)s and %(last)s", first=", ".join(first), last=last) if first else last
