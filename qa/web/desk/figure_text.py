"""Figures and sentences of a specification as they are typed: nothing is rounded or lost."""

from __future__ import annotations

import unicodedata
from typing import Any

from qa.texts.saying import say
from qa.web.form_fields import NumberField, WordsField

LONGEST_WORDS = 2_000
CELSIUS = "°C"
"""The one unit in which figures below nought are usual."""


class ExactField(NumberField):
    """A figure that reads back to the last bit; a field that rounds would change what it shows."""

    def written(self, value: Any) -> str:
        """The shortest text of the figure."""
        return "" if value is None else exact_text(value)


class SentenceField(WordsField):
    """Words that stand in one line of a file."""

    def read(self, text: str) -> str:
        """The words, every run of blanks and line ends as one blank."""
        return one_line(text)


def exact_text(figure: float) -> str:
    """The shortest text that reads back as the same figure.

    >>> exact_text(18.0), exact_text(0.375), exact_text(-20)
    ('18', '0.375', '-20')
    """
    return str(int(figure)) if float(figure).is_integer() else repr(float(figure))


def one_line(text: str) -> str:
    """Words in one line.

    Raises:
        ValueError: they are too long, or hold a sign that cannot be printed.
    """
    words = " ".join(text.split())
    if len(words) > LONGEST_WORDS:
        raise ValueError(
            say("This has more than %(most)s signs; shorten it.", most=f"{LONGEST_WORDS:,}")
        )
    if any(unicodedata.category(sign) == "Cc" for sign in words):
        raise ValueError(say("This holds a sign that cannot be printed; type it anew."))
    return words
