"""What is made once for each head of a record, since a head never means another record."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

from qa.services.reading import ReadJob
from qa.texts.saying import language
from qa.web.roof.job_top import site_day

MOST_KEPT = 16
"""Jobs of which something is kept; what was asked for longest ago goes first."""
T = TypeVar("T")


class KeptByHead(Generic[T]):
    """What a function makes of a job, kept for its head, the reader's language and the day.

    Nothing in it may depend on who asks.
    """

    def __init__(self, make: Callable[[ReadJob], T]) -> None:
        self._make = make
        self._kept: dict[Hashable, T] = {}

    def __call__(self, read: ReadJob) -> T:
        """What is made of the job, now or before."""
        key = (read.id, read.job.head, language().tag, site_day(read))
        made = self._kept.pop(key, None)
        if made is None:
            made = self._make(read)
        self._kept[key] = made
        while len(self._kept) > MOST_KEPT:
            self._kept.pop(next(iter(self._kept)), None)
        return made
