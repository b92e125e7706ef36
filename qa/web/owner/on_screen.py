"""A chapter of the pack as a page of the site shows it.

The templates and contexts are the pack's own, so that page and PDF say the same. What is of paper
is taken off: widths in millimetres, and pictures that are all there at once. Everything that people
typed was escaped before, so that none of these marks can be theirs.
"""

from __future__ import annotations

import re

from markupsafe import Markup

from qa.packs.chapters import Chapter
from qa.packs.templating import render

_COLUMNS = re.compile(r"<colgroup>.*?</colgroup>\n?", re.DOTALL)
_MILLIMETRES = re.compile(r'(<svg[^>]*?) style="width:[0-9.]+mm;height:[0-9.]+mm"')
_PHOTO = re.compile(
    r'<img src="(photos/[0-9a-f]{64})/print((?:\?marks=[0-9a-f]{12})?)" alt="([^"]*)">'
)
_TABLE = re.compile(r"<table .*?</table>", re.DOTALL)


def on_screen(chapter: Chapter) -> Markup:
    """The matter of a chapter, without its heading."""
    html = drawn_on_screen(render(chapter.template, c=chapter.context))
    html = _COLUMNS.sub("", html)
    # A note among the text is none of the page's own landmarks.
    html = html.replace("<aside", "<div").replace("</aside>", "</div>")
    html = _TABLE.sub(r'<div class="scroll" tabindex="0">\g<0></div>', html)
    html = html.replace("<figure><svg", '<figure class="plan scroll" tabindex="0"><svg')
    html = _PHOTO.sub(
        r'<a href="\1/screen\2"><img src="\1/print\2" alt="\3" loading="lazy" width="1000" '
        r'height="750"></a>',
        html,
    )
    return Markup(html)  # noqa: S704 - made by the pack's own templates, which escape


def drawn_on_screen(html: str) -> str:
    """A drawing as wide as the page lets it be; on paper it has its size in millimetres."""
    return _MILLIMETRES.sub(r"\1", html)
