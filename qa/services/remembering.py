"""What was used last, so that nobody types it twice: read from the record of the same job."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeVar

from qa.assess.frame import when
from qa.record.job import Recorded
from qa.record.schema import Body

B = TypeVar("B", bound=Body)


def last_recorded(entries: Iterable[Recorded[B]], person: str) -> Recorded[B] | None:
    """The last of some entries that a person recorded, else the last that anybody did.

    Args:
        entries: of one job, so that nothing is remembered from another firm.
        person: the person's key in the record.
    """
    in_order = sorted(entries, key=when)
    own = [entry for entry in in_order if entry.by == person]
    return next(reversed(own or in_order), None)
