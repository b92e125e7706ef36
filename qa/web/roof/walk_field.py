"""A field of a walk round the roof: a line for each side, its length and the turn at its end."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from qa.texts.saying import say
from qa.trade.shapes import Pace
from qa.trade.vocabulary import EdgeKind
from qa.web.form_fields import TypedField, read_figure

MOST_SIDES = 200
_LINE = re.compile(r"\s*(?P<length>[^\s;]+)(?:\s*m)?[\s;,]*(?P<turn>[^\s]*)\s*", re.IGNORECASE)
_TURNS = {"": 90.0, "left": 90.0, "l": 90.0, "right": -90.0, "r": -90.0}


class WalkField(TypedField):
    """The sides of an outline in order; its data is a tuple of `Pace`.

    A turn is “left”, “right”, or degrees, left positive; without a word it is left.
    """

    kind = "text"
    autocomplete = "off"

    def __init__(self, label: str, *, lines: int = 4, **kwargs: Any) -> None:
        self.lines = lines
        super().__init__(label, **kwargs)

    def read(self, text: str) -> tuple[Pace, ...]:
        """The sides of a text.

        Raises:
            ValueError: a line that is no length and turn.
        """
        lines = [line for line in text.splitlines() if line.strip()]
        if len(lines) > MOST_SIDES:
            raise ValueError(
                say(
                    "%(count)s sides are more than is taken; give %(most)s.",
                    count=len(lines),
                    most=MOST_SIDES,
                )
            )
        return tuple(_pace(number, line) for number, line in enumerate(lines, start=1))


def _pace(number: int, line: str) -> Pace:
    found = _LINE.fullmatch(line)
    if found is None:
        raise ValueError(
            say("Line %(number)s cannot be read; write it like “6.2 left”.", number=number)
        )
    try:
        length_m = read_figure(found["length"].removesuffix("m"))
        turn = found["turn"].lower()
        turn_deg = _TURNS[turn] if turn in _TURNS else read_figure(turn.rstrip("°"))
    except ValueError as error:
        raise ValueError(
            say("Line %(number)s cannot be read; write it like “6.2 left”.", number=number)
        ) from error
    if length_m <= 0:
        raise ValueError(say("Line %(number)s: a side is longer than nothing.", number=number))
    return Pace(length_m=length_m, turn_deg=turn_deg)


class SidesField(TypedField):
    """What finishes each side of an outline, in their order; its data is a tuple.

    None stands for a side of which nothing was said, which is finished as every side is.
    """

    def process_data(self, value: Any) -> None:
        """Takes the kinds that the program gives."""
        self.data = tuple(value or ())
        self.typed = ""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes one word for each side.

        Raises:
            ValueError: a word that is no kind of edge.
        """
        words = [str(value) for value in valuelist][:MOST_SIDES]
        self.data = ()
        try:
            self.data = tuple(EdgeKind(word) if word else None for word in words)
        except ValueError as error:
            raise ValueError(
                say("One of the sides has no known kind of edge; choose again.")
            ) from error
