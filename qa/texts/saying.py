"""Texts said in the language of whoever reads them.

    say("Signed in as %(name)s.", name=person.name)     a text, where it is needed
    say_count("%(number)s photo", "%(number)s photos", count)
    TITLE = to_say("Conditions")                        a text that stands in a constant

The English text stands in the code, whole, as a literal: sentences are never put together from
pieces, since another language orders them otherwise. Who answers a request or writes a letter says
in which language, by `speaking`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, SupportsIndex

from markupsafe import Markup, escape

from qa.texts.catalogue import ENGLISH, Catalogue

_chosen: ContextVar[Callable[[], Catalogue]] = ContextVar("_chosen", default=lambda: ENGLISH)


def language() -> Catalogue:
    """The language that is spoken."""
    return _chosen.get()()


def speak(choose: Callable[[], Catalogue]) -> None:
    """Lets what follows in this thread be said in the language that `choose` answers."""
    _chosen.set(choose)


@contextmanager
def speaking(catalogue: Catalogue) -> Iterator[None]:
    """Says texts in a language while the block runs."""
    before = _chosen.set(lambda: catalogue)
    try:
        yield
    finally:
        _chosen.reset(before)


def say(english: str, /, **values: object) -> str:
    """A text in the reader's language.

    Args:
        english: a literal; `%(name)s` stands for a value.
        values: by name; without any, a percent sign is a percent sign.
    """
    text = language().text(english)
    return text % values if values else text


def say_count(one: str, many: str, number: int, /, **values: object) -> str:
    """A text that a number decides, which it names as `%(number)s`.

    Args:
        one: the literal for one.
        many: the literal for any other number.
        number: how many.
        values: further values by name.
    """
    return language().counted(one, many, number) % {"number": number, **values}


class _ToSay(str):
    """A text that is said each time when it is read, in the language of that moment.

    Compared and kept, it is its English text.
    """

    __slots__ = ()

    def __str__(self) -> str:
        return language().text(str.__str__(self))

    def __html__(self) -> Markup:
        return escape(str(self))

    def __format__(self, wanted: str) -> str:
        return format(str(self), wanted)

    def __mod__(self, values: Any) -> str:
        return str(str(self) % values)

    def __add__(self, other: str) -> str:
        return str(self) + other

    def __radd__(self, other: str) -> str:
        return other + str(self)

    def __getitem__(self, place: SupportsIndex | slice) -> str:
        return str(self)[place]

    def lower(self) -> str:
        """The text in small letters."""
        return str(self).lower()

    def capitalize(self) -> str:
        """The text as a sentence begins."""
        return str(self).capitalize()

    def __hash__(self) -> int:
        return str.__hash__(self)

    def __eq__(self, other: object) -> bool:
        return str.__eq__(self, other)


def to_say(english: str, /) -> str:
    """A text that stands in a constant, and is said when it is read."""
    return _ToSay(english)


def english(text: str, /) -> str:
    """The English of a text that is to be said: what the record keeps of a choice."""
    return str.__str__(text)
