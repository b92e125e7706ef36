"""The words by which a job is found, made alike of what it holds and of what somebody types."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from qa.record.job import Job
from qa.record.kinds.parties import Opening
from qa.store.summary_lines import WordLine

LONGEST_WORD = 64
MOST_WORDS = 500
"""Of one job; whoever pastes a book into a title is found by its first words."""
_WORD = re.compile(r"[^\W_]+")


def words_in(text: str) -> Iterator[str]:
    """The words of a text, without case and accents: "Çà-2b" gives "ca" and "2b"."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    letters = "".join(letter for letter in plain if not unicodedata.combining(letter))
    for found in _WORD.finditer(letters):
        yield found[0][:LONGEST_WORD]


def word_lines(job: Job) -> tuple[WordLine, ...]:
    """The words of a job: reference, title, address, client and crew, but what was erased."""
    words: dict[str, None] = {}
    for text in _texts(job):
        words |= dict.fromkeys(words_in(text))
    return tuple(WordLine(word=word) for word in sorted(list(words)[:MOST_WORDS]))


def _texts(job: Job) -> Iterator[str]:
    opening = job.opening
    source = opening.corrections[-1] if opening.corrections else opening.entry
    under = "/body" if opening.corrections else ""
    yield from (opening.body.job, opening.body.title)
    yield from (person.person for person in opening.body.crew)
    gone = {
        (value.entry, value.field)
        for erasure in job.erasures
        for value in erasure.body.disclosures or ()
    }
    for path, value in _personal(opening.body):
        # An erasure is in the record before the value is gone from memory.
        if isinstance(value, str) and (source.id, under + path) not in gone:
            yield value


def _personal(opening: Opening) -> Iterator[tuple[str, object]]:
    yield "/site/address", opening.site.address
    yield "/client/name", opening.client.name
    for number, person in enumerate(opening.crew):
        yield f"/crew/{number}/name", person.name
