"""From the words of an address to the values that they name."""

from __future__ import annotations

from qa.errors import NotFoundError
from qa.record.entry import Entry
from qa.services.reading import ReadJob
from qa.specification.model import Check
from qa.texts.saying import say
from qa.trade.vocabulary import Stage


def stage_named(word: str) -> Stage:
    """The stage of an address.

    Raises:
        NotFoundError: no stage is called so.
    """
    try:
        return Stage(word)
    except ValueError as error:
        raise NotFoundError(say("There is no such stage. Begin from the job’s page.")) from error


def check_named(read: ReadJob, stage: Stage, key: str) -> Check:
    """The check of an address, as the job's specification has it.

    Raises:
        NotFoundError: the specification asks for no such check in this stage.
    """
    check = read.specification.checks.get(key)
    if check is None or stage not in check.stages:
        raise NotFoundError(say("This stage has no such check. Look at the list of its checks."))
    return check


def entry_named(read: ReadJob, identifier: str) -> Entry:
    """The entry of an address.

    Raises:
        NotFoundError: the record has no such entry.
    """
    for entry in read.job.entries:
        if entry.id == identifier:
            return entry
    raise NotFoundError(say("The record of this job has no such entry."))
