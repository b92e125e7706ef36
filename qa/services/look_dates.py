"""When somebody is next to look at a roof, by what the looks at it say."""

from __future__ import annotations

from datetime import date, timedelta

from qa.record.job import Job

TOLD_BEFORE = timedelta(days=28)
"""How long before a look is due the firm is told of it."""


def next_look(job: Job) -> date | None:
    """The day on which a look is due, or None where none is.

    Of several days that looks name, the last stands. A look within the weeks before it, in which
    the firm was told, or after it, is the look that was due.
    """
    due = max((look.body.next_due for look in job.inspections if look.body.next_due), default=None)
    if due is None:
        return None
    looked = max(look.at.astimezone(job.time_zone).date() for look in job.inspections)
    return None if looked >= due - TOLD_BEFORE else due
