"""From a person's name to the key by which entries of the record call them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator
from itertools import count

LONGEST_KEY = 40
RESERVED = frozenset({"invite", "invitations"})
"""Words that stand where a key may stand in an address of the site."""
_NOBODY = "person"


def key_for(name: str, taken: Collection[str]) -> str:
    """A key made from a name that nobody of the firm has or had.

    Args:
        name: as people call them.
        taken: every key that was ever given in the firm; none is given a second time.
    """
    never = RESERVED.union(taken)
    return next(key for key in _candidates(_plain_words(name)) if key not in never)


def _candidates(words: tuple[str, ...]) -> Iterator[str]:
    whole = "-".join(words)[:LONGEST_KEY].strip("-")
    yield words[0][:LONGEST_KEY]
    yield whole
    for number in count(2):
        yield f"{whole}-{number}"


def _plain_words(name: str) -> tuple[str, ...]:
    """The name's words in small letters without marks, as far as they can be written so."""
    apart = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return tuple(re.findall(r"[a-z0-9]+", plain.replace("'", "").replace("’", ""))) or (_NOBODY,)
