"""Searching a firm's jobs, batches, checks and people by the beginnings of words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.services.access import Act, Actor, require
from qa.services.check_words import check_quantities
from qa.services.finding_words import words_in
from qa.store import accounts
from qa.store.batches import ListedBatch, list_batches
from qa.store.job_search import FoundJob, find_jobs

if TYPE_CHECKING:
    from qa.services.installation import Installation

A_PAGE = 30
"""Jobs on one page of what was found."""
MOST_BESIDES = 10
"""Batches, checks and people that are shown beside the jobs."""
MOST_WORDS = 8
"""Words that are looked for; more are left out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPerson:
    """A person of the firm."""

    key: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCheck:
    """A check, and what is measured or seen."""

    key: str
    quantity: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What was found.

    Attributes:
        jobs: that hold every word, as many as were asked for.
        batches: whose number begins so.
        checks: those that hold every word in their key or in what they are about.
        people: who hold every word in their name.
    """

    jobs: tuple[FoundJob, ...]
    batches: tuple[ListedBatch, ...]
    checks: tuple[FoundCheck, ...]
    people: tuple[FoundPerson, ...]


def search(
    installation: Installation, actor: Actor, text: str, *, skip: int = 0, most: int = A_PAGE + 1
) -> Found:
    """What of the actor's firm holds the words of a text; nothing for a text without a word.

    Personal values are found as long as they stand: an erased one is found no more.
    """
    require(actor, Act.SEE_DESK)
    words = tuple(dict.fromkeys(words_in(text)))[:MOST_WORDS]
    if not words:
        return Found(jobs=(), batches=(), checks=(), people=())
    firm = actor.firm_id
    with installation.store.reading() as session:
        people = accounts.accounts_of(session, firm)
        return Found(
            jobs=find_jobs(session, words, firm_id=firm, most=most, skip=skip),
            batches=list_batches(session, firm_id=firm, begins=text, most=MOST_BESIDES),
            checks=tuple(
                FoundCheck(key=key, quantity=quantity)
                for key, quantity in check_quantities().items()
                if _holds(f"{key} {quantity}", words)
            )[:MOST_BESIDES],
            people=tuple(
                FoundPerson(key=one.key, name=one.name)
                for one in people
                if _holds(f"{one.name} {one.key}", words)
            )[:MOST_BESIDES],
        )


def _holds(text: str, words: Sequence[str]) -> bool:
    """Whether every word is the beginning of one of the text."""
    held = tuple(words_in(text))
    return all(any(one.startswith(word) for one in held) for word in words)
