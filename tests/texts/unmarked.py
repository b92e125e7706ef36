"""What a person reads of a page in the pseudo-language that stands outside the marks."""

from __future__ import annotations

import re
from collections.abc import Iterator

import lxml.html

from qa.texts.catalogue import ENGLISH_TAG
from tests.texts.pseudo import CLOSE, OPEN

READ_OUT = ("aria-label", "alt", "title", "placeholder")
_INLINE = {"a", "b", "em", "i", "span", "strong", "sub", "sup"}
_MARKED = re.compile(f"{OPEN}[^{OPEN}{CLOSE}]*{CLOSE}")
_END = "\n\n"


def unmarked(page: bytes) -> set[str]:
    """Stretches of words outside the marks; what says of itself that it is English is left out."""
    text = _MARKED.sub(_END, "".join(_pieces(lxml.html.document_fromstring(page.decode()))))
    stretches = (" ".join(stretch.split()) for stretch in text.split(_END))
    return {stretch for stretch in stretches if re.search(r"[^\W\d_]{2}", stretch)}


def _pieces(element: lxml.html.HtmlElement) -> Iterator[str]:
    """The text of an element in its order, an end where it stands apart; no record as written."""
    if not isinstance(element.tag, str) or element.tag in ("pre", "script", "style"):
        return
    if element.get("lang") == ENGLISH_TAG:
        return
    yield from (f"{_END}{element.get(name)}{_END}" for name in READ_OUT if element.get(name))
    end = "" if element.tag in _INLINE else _END
    yield f"{end}{_in_line(element.text)}"
    for child in element:
        yield from _pieces(child)
        yield _in_line(child.tail)
    yield end


def _in_line(text: str | None) -> str:
    return (text or "").replace("\n", " ")
