"""The times of wet work, by which the readings of a logger are matched to the stages of a job."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from qa.record.job import Job
from qa.trade.vocabulary import WET_STAGES, Stage

AFTER_THE_LAST_MIX = timedelta(hours=72)
"""How long what was laid is watched where nothing is laid on it; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WetWindow:
    """A time whose readings belong to one stage: from `since`, until just before `until`."""

    stage: Stage
    since: datetime
    until: datetime


def wet_windows(job: Job, *, holds: timedelta) -> tuple[WetWindow, ...]:
    """The times of wet work in order; none overlaps another.

    The work of a stage on a day counts from as long before its first mix as a reading holds, or
    from the end of the work before it. What was laid is then watched until the next work begins, at
    most for `AFTER_THE_LAST_MIX`.

    Args:
        job: as it stands.
        holds: how long a reading holds for the work after it.
    """
    runs = _runs(job)
    opened: list[tuple[Stage, datetime, datetime]] = []
    for stage, first, last in runs:
        before = opened[-1][2] if opened else None
        since = first - holds
        if before is not None:
            since = max(since, min(before, first))
        opened.append((stage, since, last))
    windows = []
    for place, (stage, since, last) in enumerate(opened):
        until = last + AFTER_THE_LAST_MIX
        if place + 1 < len(opened):
            until = min(until, opened[place + 1][1])
        if since < until:
            windows.append(WetWindow(stage=stage, since=since, until=until))
    return tuple(windows)


def _runs(job: Job) -> list[tuple[Stage, datetime, datetime]]:
    """The first mix of each stage on each day, and when its last one was empty; in order."""
    runs: dict[tuple[Stage, object], tuple[datetime, datetime]] = {}
    for mix in job.mixes:
        if mix.body.stage not in WET_STAGES:
            continue
        key = (mix.body.stage, mix.at.astimezone(job.time_zone).date())
        end = max(mix.at, mix.body.emptied_at or mix.at)
        first, last = runs.get(key, (mix.at, end))
        runs[key] = (min(first, mix.at), max(last, end))
    return sorted(((s, first, last) for (s, _), (first, last) in runs.items()), key=lambda r: r[1])
