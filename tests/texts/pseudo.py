"""An invented language that puts marks round every text, so that what nobody marked is seen.

Values stand outside the marks: what is put into a text must be marked by itself or be data.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from qa.texts.catalogue import Catalogue
from tests.texts.gathering import Said

OPEN, CLOSE = "⟦", "⟧"
TAG = "en-XA"


def pseudo(texts: Iterable[Said]) -> Catalogue:
    """The catalogue in which every text of the template is marked."""
    forms = {said.english: (said.english, said.many or said.english) for said in texts}
    return Catalogue(
        tag=TAG,
        name="Marked",
        forms={text: (_marked(one), _marked(many)) for text, (one, many) in forms.items()},
    )


def _marked(text: str) -> str:
    """A text in marks, its values outside them; values inside a tag are left where they are."""
    inside = re.sub(
        r"(<[^>]*>)|(%\(\w+\)s)",
        lambda found: found.group(1) or f"{CLOSE}{found.group(2)}{OPEN}",
        text,
    )
    return f"{OPEN}{inside}{CLOSE}"
