"""The words of the error pages, by status."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from qa.texts.saying import to_say


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What is said of a status.

    Attributes:
        title: what happened, in few words.
        sentence: what happened, where the error itself says nothing better.
        next_step: what to do now.
    """

    title: str
    sentence: str
    next_step: str


WORDS: Mapping[int, Words] = MappingProxyType(
    {
        400: Words(
            title=to_say("This could not be read"),
            sentence=to_say("What was sent could not be read, so nothing was saved."),
            next_step=to_say(
                "Go back, reload the page and send it again; what you typed is kept there."
            ),
        ),
        401: Words(
            title=to_say("Nobody is signed in"),
            sentence=to_say("The sign-in has ended, so nothing was saved."),
            next_step=to_say("Sign in again; what you typed is kept on this phone."),
        ),
        403: Words(
            title=to_say("This is not yours to do"),
            sentence=to_say("Your roles do not allow this. Nothing was saved."),
            next_step=to_say(
                "Ask the person who may, or ask the firm’s owner to change your roles."
            ),
        ),
        404: Words(
            title=to_say("There is nothing here"),
            sentence=to_say("This page is not there, or it is not your firm’s."),
            next_step=to_say("Check the address, or begin from the list of jobs."),
        ),
        405: Words(
            title=to_say("This page does not take that"),
            sentence=to_say(
                "The page is there, but not for what was asked of it. Nothing was saved."
            ),
            next_step=to_say("Open the page from the list of jobs and begin again there."),
        ),
        409: Words(
            title=to_say("The record holds something else"),
            sentence=to_say("What was sent contradicts what the record already holds."),
            next_step=to_say(
                "What the record holds stands. Where it is wrong, correct it; both stay readable."
            ),
        ),
        413: Words(
            title=to_say("This is too large"),
            sentence=to_say("More was sent than is taken at once. Nothing was saved."),
            next_step=to_say(
                "Send photographs one at a time, as the phone’s camera makes them, and leave "
                "films out."
            ),
        ),
        429: Words(
            title=to_say("This was tried too often"),
            sentence=to_say("The same was tried too often in a short time."),
            next_step=to_say("Wait a little, then try once more. Nothing that was saved is lost."),
        ),
        500: Words(
            title=to_say("Something went wrong here"),
            sentence=to_say(
                "The fault is the program’s, not yours. What was saved before stands; "
                "this was not saved."
            ),
            next_step=to_say(
                "Try once more. If it happens again, tell whoever looks after the site and "
                "read out the number below."
            ),
        ),
    }
)
"""Every status that has a page of its own."""

_FIRST_FAULT_OF_OURS = 500


def words_of(status: int) -> Words:
    """The words of a status; a rare one takes those of its family."""
    return WORDS.get(status) or WORDS[500 if status >= _FIRST_FAULT_OF_OURS else 400]
