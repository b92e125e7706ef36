"""What the pages of a logger's file say: what was found, and why it cannot be saved."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from flask import url_for

from qa.assess.conditions import MARGIN
from qa.assess.wording import limits_text
from qa.services.logger_files import OpenLoggerFile, windows_of
from qa.services.logger_found import LimitCount, LoggerFound
from qa.services.reading import ReadJob
from qa.texts.saying import say, say_count
from qa.trade.conformity import Limits
from qa.trade.notation import quantity_text
from qa.web.dates import time_text
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.logger_form import LayoutForm, LoggerFileForm
from qa.web.roof.logger_weighed import FoundLine, weighed_lines
from qa.web.roof.wording import begun, stage_title

MOST_SAVED = 3000
"""Entries of one file: two weeks of days and nights of work."""
_CLOCK_TOLERANCE = timedelta(minutes=5)
_FIRST_YEAR = 2010
"""A clock before it was never set; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerPage:
    """The page on which a file is chosen."""

    top: JobTop
    form: LoggerFileForm


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerFilePage:
    """The page on which a file is looked at.

    Attributes:
        cut_by: the separator by which the columns of the form are counted.
        layout_told: where the layout comes from.
        found: what was found.
        limits: how the readings of wet work stand to the limits.
        weighed: what a scale says of the masses of mixes and uses.
        fault: why it cannot be saved as it is, or nothing.
        saves: what would be saved, in words.
        another: address on which another file is chosen.
    """

    top: JobTop
    form: LayoutForm
    cut_by: str
    layout_told: str
    found: tuple[FoundLine, ...]
    limits: tuple[FoundLine, ...]
    weighed: tuple[FoundLine, ...]
    fault: str
    saves: str
    another: str


def logger_page(read: ReadJob, form: LoggerFileForm) -> LoggerPage:
    """The page on which a file is chosen."""
    return LoggerPage(top=job_top(read), form=form)


def logger_file_page(
    read: ReadJob, opened: OpenLoggerFile, form: LayoutForm, found: LoggerFound, *, now: datetime
) -> LoggerFilePage:
    """The page on which a file is looked at."""
    fault = fault_of(read, found, now=now)
    told = (
        say("Read as your firm read the last file with these headings.")
        if opened.is_kept
        else say("This is how the file looks. Compare it; it is kept for the next file like it.")
    )
    return LoggerFilePage(
        top=job_top(read),
        form=form,
        cut_by=form.separator.typed,
        layout_told=told,
        found=tuple(_found(read, found)),
        limits=tuple(_limit(read, one) for one in found.limits if one.read),
        weighed=tuple(weighed_lines(read, found)),
        fault=fault,
        saves="" if fault else _saves(found),
        another=url_for("roof.logger", job=read.id),
    )


def fault_of(read: ReadJob, found: LoggerFound, *, now: datetime) -> str:
    """Why the readings cannot be saved as they are, or nothing."""
    if found.first is None or found.last is None:
        return say(
            "No line can be read this way. Compare the separator, the decimal sign and the columns "
            "below, then look again."
        )
    return _clock_fault(read, found.first, found.last, now) or _matching_fault(read, found)


def _clock_fault(read: ReadJob, first: datetime, last: datetime, now: datetime) -> str:
    if last > now + _CLOCK_TOLERANCE:
        return say(
            "The last reading is of %(time)s, which has not been yet: the logger’s clock was "
            "wrong, or it is another clock than the one below.",
            time=_time(read, last),
        )
    if first.year < _FIRST_YEAR:
        return say(
            "The first reading is of %(year)s: the logger’s clock was not set.", year=first.year
        )
    return ""


def _matching_fault(read: ReadJob, found: LoggerFound) -> str:
    if found.weighings.found and not found.chosen:
        return ""  # a scale's file
    windows = windows_of(read)
    if not windows:
        return say("This job has no mix yet, so no wet work that the readings could belong to.")
    if not found.chosen:
        return say(
            "No reading falls into the wet work, which was from %(since)s until %(until)s. "
            "Compare the clock and the dates below, or choose the file of those days.",
            since=_time(read, windows[0].since),
            until=_time(read, windows[-1].until),
        )
    if len(found.chosen) > MOST_SAVED:
        return say(
            "These are %(count)s readings to save, more than %(most)s; split it.",
            count=len(found.chosen),
            most=MOST_SAVED,
        )
    return ""


def _saves(found: LoggerFound) -> str:
    if not found.chosen:
        return say(
            "What is ticked below is put right, each with the line of the file that says so."
        )
    return say_count(
        "Of %(readings)s during wet work, %(number)s is saved: the first of every 15 minutes, and "
        "the highest and lowest of each work. Each keeps the logger’s time; the record says when "
        "it arrived. A line that was saved before is not saved again.",
        "Of %(readings)s during wet work, %(number)s are saved: the first of every 15 minutes, and "
        "the highest and lowest of each work. Each keeps the logger’s time; the record says when "
        "it arrived. A line that was saved before is not saved again.",
        len(found.chosen),
        readings=_readings(found.in_work),
    )


def _found(read: ReadJob, found: LoggerFound) -> Iterator[FoundLine]:
    yield FoundLine(name=say("Readings"), text=f"{found.readings:,}".replace(",", "\u202f"))
    if found.first is not None and found.last is not None:
        yield FoundLine(name=say("From"), text=_time(read, found.first))
        yield FoundLine(name=say("Until"), text=_time(read, found.last))
    if found.step is not None and found.of_air:
        minutes = quantity_text(round(found.step / timedelta(minutes=1), 1), "min")
        yield FoundLine(name=say("Usually every"), text=minutes)
        yield FoundLine(name=say("Gaps"), text=_gaps(read, found))
    if found.set_back:
        yield FoundLine(
            name=say("Clock set back"),
            text=say_count("%(number)s time", "%(number)s times", found.set_back),
        )
    if found.unread_first is not None:
        first = found.unread_first
        text = say_count(
            "%(number)s line; line %(row)s %(sentence)s.",
            "%(number)s lines; line %(row)s %(sentence)s.",
            found.unread,
            row=first.row,
            sentence=first.sentence,
        )
        yield FoundLine(name=say("Not read"), text=text)
    for stage, number in found.by_stage.items():
        yield FoundLine(name=stage_title(read, stage), text=_readings(number))
    if found.in_work < found.of_air:
        outside = _readings(found.of_air - found.in_work)
        yield FoundLine(
            name=say("Outside wet work"), text=say("%(outside)s, left out", outside=outside)
        )


def _gaps(read: ReadJob, found: LoggerFound) -> str:
    if not found.gaps:
        return say("none")
    told = [_span(_time(read, gap.since), _time(read, gap.until)) for gap in found.gaps]
    more = (
        say("; %(count)s more", count=found.gap_count - len(told))
        if found.gap_count > len(told)
        else ""
    )
    return f"{'; '.join(told)}{more}"


def _limit(read: ReadJob, one: LimitCount) -> FoundLine:
    check = read.specification.checks[one.check]
    limits = limits_text(Limits(lower=one.lower, upper=one.upper), check.unit)
    lowest, highest = (quantity_text(round(value or 0.0, 1), check.unit)
                       for value in (one.lowest, one.highest))  # fmt: skip
    is_margin = one.check == MARGIN
    span = say("lowest %(lowest)s", lowest=lowest) if is_margin else _span(lowest, highest)
    outside = (
        say("%(outside)s of %(read)s outside", outside=one.outside, read=one.read)
        if one.outside
        else say("none outside")
    )
    return FoundLine(name=begun(check.quantity), text=f"{span}; {outside} ({limits})")


def _span(first: str, last: str) -> str:
    return say("%(first)s to %(last)s", first=first, last=last)


def _time(read: ReadJob, at: datetime) -> str:
    return time_text(at, read.job.time_zone, site_day(read))


def _readings(number: int) -> str:
    return say_count("%(number)s reading", "%(number)s readings", number)
