"""What the page of photographs that wait to be placed shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from flask import url_for

from qa.assess.frame import frame_of
from qa.services.deck_looks import span_text
from qa.services.photo_proposing import Proposal, propose
from qa.services.photo_targets import target_of
from qa.services.reading import ReadJob
from qa.services.waiting_photos import (
    CLOCK_TOLERANCE,
    MOST_WAITING,
    Waiting,
    moment_of,
)
from qa.store.waiting_photos import WaitingPhoto
from qa.texts.saying import say
from qa.web.dates import day_text
from qa.web.roof.bulk_form import BulkForm, ClockForm, PlacingForm, TimesForm
from qa.web.roof.bulk_words import clock_text, taken_text, target_text
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.wording import begun

_SHOWN = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingLine:
    """A photograph that waits.

    Attributes:
        value: what its tick sends: its id, and what it is shown as; nothing where it has no place
            or no time yet.
        shows: what it would show, in words.
        why: where that comes from.
        taken: when it was taken, and by what.
        change: address of the page on which both are changed.
        is_sure: whether it is ticked from the beginning.
    """

    id: str
    name: str
    small: str
    value: str
    shows: str
    why: str
    taken: str
    change: str
    is_sure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldLine:
    """A photograph that the record shows already."""

    id: str
    name: str
    small: str
    entry: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BulkPage:
    """The page.

    Attributes:
        form: that brings photographs in.
        placing: that places those which are ticked.
        clock: that says how far the camera's clock was off; None where nothing has its time.
        times: that says when those were taken whose files do not; None where all do.
        ready: in the order of time, each with its proposal.
        unready: what has no time, a time that has not been, or nothing near in the record.
        held: what the record shows already.
        slow: how far the camera's clock is reckoned to be off, or nothing.
        satellites: what the satellites say of the camera's clock, or nothing.
        until: until when what waits is kept, or nothing.
        expired: what was dropped because nobody had placed it, or nothing.
        known: digests that need not be sent.
    """

    top: JobTop
    form: BulkForm
    placing: PlacingForm
    clock: ClockForm | None
    times: TimesForm | None
    ready: tuple[WaitingLine, ...]
    unready: tuple[WaitingLine, ...]
    held: tuple[HeldLine, ...]
    slow: str
    satellites: str
    until: str
    expired: str
    known: str
    most: int
    place_address: str
    clock_address: str
    times_address: str
    here: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BulkForms:
    """The forms of the page."""

    bring: BulkForm
    placing: PlacingForm
    clock: ClockForm
    times: TimesForm


def bulk_page(read: ReadJob, waiting: Waiting, forms: BulkForms, *, now: datetime) -> BulkPage:
    """The page of a job's waiting photographs."""
    zone, here = read.job.time_zone, dict[str, Any](job=read.id)
    free = [one for one in waiting.photos if one.id not in waiting.held]
    moments = {one.id: moment_of(one, zone) for one in free}
    proposals = proposals_of(read, moments, now=now)
    last = datetime.max.replace(tzinfo=zone)
    free.sort(key=lambda one: (moments[one.id] or last, one.name))
    lines = [_line(read, one, moments[one.id], proposals.get(one.id), now) for one in free]
    timed = [one for one in free if one.taken_at or one.taken_clock]
    return BulkPage(
        top=job_top(read),
        form=forms.bring,
        placing=forms.placing,
        clock=forms.clock if timed else None,
        times=forms.times if None in moments.values() else None,
        ready=tuple(line for line in lines if line.value),
        unready=tuple(line for line in lines if not line.value),
        held=tuple(_held(read, one, waiting.held[one.id]) for one in waiting.photos
                   if one.id in waiting.held),
        slow=_slow(timed),
        satellites=_satellites(read, timed),
        until=_until(read, waiting),
        expired=_expired(read, waiting),
        known=" ".join(_known(read, waiting)),
        most=MOST_WAITING,
        place_address=url_for("roof.bulk_place", **here),
        clock_address=url_for("roof.bulk_clock", **here),
        times_address=url_for("roof.bulk_times", **here),
        here=url_for("roof.bulk", **here),
    )  # fmt: skip


def proposals_of(
    read: ReadJob, moments: Mapping[str, datetime | None], *, now: datetime
) -> Mapping[str, Proposal]:
    """What is proposed for photographs whose time may be true."""
    latest = now + CLOCK_TOLERANCE
    taken = {key: at for key, at in moments.items() if at is not None and at <= latest}
    return propose(frame_of(read.job, read.specification), taken)


def _line(
    read: ReadJob,
    photo: WaitingPhoto,
    at: datetime | None,
    proposal: Proposal | None,
    now: datetime,
) -> WaitingLine:
    chosen = target_of(photo.chosen) if photo.chosen else None
    target = chosen or (proposal.target if proposal else None)
    may = target is not None and at is not None and at <= now + CLOCK_TOLERANCE
    return WaitingLine(
        id=photo.id,
        name=photo.name,
        small=url_for("roof.bulk_picture", job=read.id, waiting_photo=photo.id),
        value=f"{photo.id} {target.text}" if target and may else "",
        shows=target_text(read, target) if target else _nothing(at),
        why=say("As somebody said here") if chosen else _why(proposal),
        taken=taken_text(read, photo, now),
        change=url_for("roof.bulk_one", job=read.id, waiting_photo=photo.id),
        is_sure=may,
    )


def _nothing(at: datetime | None) -> str:
    return say("Nothing was recorded near that time.") if at else ""


def _why(proposal: Proposal | None) -> str:
    if proposal is None:
        return ""
    reason = begun(proposal.reason)
    if not proposal.meets:
        return reason
    return say("%(reason)s; still asked for: %(photo)s", reason=reason, photo=proposal.meets)


def _held(read: ReadJob, photo: WaitingPhoto, entry: str) -> HeldLine:
    return HeldLine(
        id=photo.id,
        name=photo.name,
        small=url_for("roof.bulk_picture", job=read.id, waiting_photo=photo.id),
        entry=url_for("roof.entry", job=read.id, entry=entry),
    )


def _slow(timed: list[WaitingPhoto]) -> str:
    """How far the clock is reckoned to be off; of how many, where not of all."""
    off = [one.clock_slow_min for one in timed if one.clock_slow_min]
    if not off:
        return ""
    told = begun(clock_text(off[-1]))
    if len(off) == len(timed):
        return f"{told}."
    return say(
        "%(told)s, for %(some)s of %(all)s photos.", told=told, some=len(off), all=len(timed)
    )


def _satellites(read: ReadJob, timed: list[WaitingPhoto]) -> str:
    """What the satellites say of the camera's clock, where they say another time."""
    for one in timed:
        at = moment_of(one, read.job.time_zone)
        if one.gps_at is None or at is None or one.said_at is not None:
            continue
        apart = one.gps_at - at
        if CLOCK_TOLERANCE < abs(apart) < timedelta(hours=26):
            name, length = one.name or say("a photo"), span_text(abs(apart))
            if apart > timedelta(0):
                return say(
                    "The satellites’ time in %(name)s says that the camera’s clock was %(length)s "
                    "slow.",
                    name=name, length=length,
                )  # fmt: skip
            return say(
                "The satellites’ time in %(name)s says that the camera’s clock was %(length)s "
                "fast.",
                name=name, length=length,
            )  # fmt: skip
    return ""


def _until(read: ReadJob, waiting: Waiting) -> str:
    if not waiting.photos:
        return ""
    first = min(one.expires_at for one in waiting.photos).astimezone(read.job.time_zone)
    return say("What is not placed is dropped, the first on %(day)s.", day=day_text(first))


def _expired(read: ReadJob, waiting: Waiting) -> str:
    if not waiting.expired:
        return ""
    names = [one.name or say("a photo without a name") for one in waiting.expired]
    ended = waiting.expired[-1].ended_at
    local = (ended or waiting.expired[-1].expires_at).astimezone(read.job.time_zone)
    shown, more = ", ".join(names[:_SHOWN]), len(names) - _SHOWN
    return say(
        "Dropped since nobody had placed them, the last on %(day)s: %(names)s%(more)s.",
        day=day_text(local), names=shown, more=f" + {more}" if more > 0 else "",
    )  # fmt: skip


def _known(read: ReadJob, waiting: Waiting) -> Iterator[str]:
    yield from (one.sha256 for one in waiting.photos)
    yield from (photo.body.sha256 for photo in read.job.photos if photo.body.sha256)
