"""Saving a form: when it was, the one call that saves it, and what is said afterwards.

The record's time is the server's. A phone whose clock is wrong does no harm, because only the time
between its Save and its sending is taken from it; that its clock is wrong is said, and blocks
nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Protocol

from flask import flash, jsonify, redirect
from flask.typing import ResponseReturnValue

from qa.errors import RecordError
from qa.texts.saying import say, say_count, to_say
from qa.web import clock
from qa.web.asked_for import wants_json
from qa.web.form_fields import EarlierField
from qa.web.forms import SiteForm
from qa.web.frame import SAVED

CLOCK_TOLERANCE = timedelta(minutes=5)
"""How far a phone's clock may be off before the person is told; common practice, no source."""
LONGEST_WAIT = timedelta(days=14)
"""A form that waited longer for a signal than this did not wait: the clock was set meanwhile."""


class Receipt(Protocol):
    """What saving needs to know of what was saved; `qa.services.recording.Receipt` is one."""

    @property
    def entry(self) -> str:
        """Id of the entry."""

    @property
    def repeated(self) -> bool:
        """Whether the record held it already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When the content of a form was noted, and when it arrived.

    Attributes:
        at: when it was noted, in the job's zone.
        at_is_reckoned: whether the site reckoned `at`; false where the person said when it was.
        now: the server's clock, UTC.
        phone_off: how far the phone's clock is ahead of the server's; None without script.
    """

    at: datetime
    at_is_reckoned: bool = True
    now: datetime
    phone_off: timedelta | None = None


Then = str | Callable[[Sequence[Receipt]], str]


def saved(
    form: SiteForm,
    save: Callable[[Moment], Sequence[Receipt]],
    then: Then,
    page: Callable[[], ResponseReturnValue],
    *,
    zone: tzinfo = UTC,
    word: str = to_say("Saved"),
) -> ResponseReturnValue:
    """The answer to a page with a form, whether it is shown or sent.

    Args:
        form: of this request.
        save: calls one service and answers its receipts.
        then: address of the page that follows, or a function from the receipts to it.
        page: makes the page with the form in it; called for GET, and again with every typed value
            where something cannot be read.
        zone: the job's time zone.
        word: what is said before the time, such as "Saved" or "Signed off".

    Raises:
        LaidtrueError: whatever the service raises but `RecordError`; the error pages answer it.
    """
    if not form.sent:
        return page()
    if not form.validate():
        return _again(form, page)
    moment = moment_of(form, now=clock.now(), zone=zone)
    try:
        receipts = save(moment)
    except RecordError as error:
        form.take(error.problems)
        return _again(form, page)
    where = then if isinstance(then, str) else then(receipts)
    return _answer(form, said(moment, receipts, word), where)


def led_on(form: SiteForm, where: str) -> ResponseReturnValue:
    """Leads on from a form in which nothing stood that could be saved."""
    if wants_json():
        return jsonify(saved=True, said="", then=where, entry=form.entry_id.data)
    return redirect(where, 303)


def moment_of(form: SiteForm, *, now: datetime, zone: tzinfo) -> Moment:
    """When the content of a form was noted."""
    phone_now = _phone_time(form.phone_now.data)
    noted_at = _phone_time(form.noted_at.data)
    off = None if phone_now is None else phone_now - now
    waited = phone_now - noted_at if phone_now and noted_at else timedelta(0)
    if not timedelta(0) <= waited <= LONGEST_WAIT:
        waited = timedelta(0)
    told = _earlier(form, zone)
    at = told or now - waited
    return Moment(
        at=at.astimezone(zone).replace(microsecond=0),
        at_is_reckoned=told is None,
        now=now,
        phone_off=off,
    )


def said(moment: Moment, receipts: Sequence[Receipt], word: str) -> str:
    """The sentence after a save, and the warning where the phone's clock is off."""
    if receipts and all(receipt.repeated for receipt in receipts):
        done = say("Saved already: it was sent twice and stands once.")
    else:
        done = f"{word}, {moment.at:%H:%M}."
    if moment.phone_off is None or abs(moment.phone_off) <= CLOCK_TOLERANCE:
        return done
    return f"{done} {_clock_warning(moment.phone_off)}"


def _clock_warning(off: timedelta) -> str:
    length = _length(abs(off))
    if off > timedelta(0):
        return say(
            "This phone’s clock is %(length)s ahead. The record keeps the right time; set "
            "the phone’s clock when you can.",
            length=length,
        )
    return say(
        "This phone’s clock is %(length)s behind. The record keeps the right time; set "
        "the phone’s clock when you can.",
        length=length,
    )


def _length(span: timedelta) -> str:
    """A length of time in words: "2 h 5 min", "1 day 3 h"."""
    minutes = round(span.total_seconds() / 60)
    days, minutes = divmod(minutes, 24 * 60)
    hours, minutes = divmod(minutes, 60)
    if days:
        return say_count("%(number)s day", "%(number)s days", days) + (
            f" {hours} h" if hours else ""
        )
    if hours:
        return f"{hours} h{f' {minutes} min' if minutes else ''}"
    return f"{minutes} min"


def _earlier(form: SiteForm, zone: tzinfo) -> datetime | None:
    for field in form:
        if isinstance(field, EarlierField):
            return field.in_zone(zone)
    return None


def _phone_time(written: str | None) -> datetime | None:
    """A phone's time; what a script did not write is as good as none."""
    try:
        when = datetime.fromisoformat(written or "")
    except ValueError:
        return None
    return when if when.tzinfo else None


def _again(form: SiteForm, page: Callable[[], ResponseReturnValue]) -> ResponseReturnValue:
    if wants_json():
        problems = [
            {"field": trouble.field_id, "label": trouble.label, "sentence": trouble.sentence}
            for trouble in form.troubles
        ]
        return jsonify(saved=False, problems=problems), 400
    return page(), 400  # type: ignore[return-value]


def _answer(form: SiteForm, sentence: str, where: str) -> ResponseReturnValue:
    if wants_json():
        return jsonify(saved=True, said=sentence, then=where, entry=form.entry_id.data)
    flash(sentence, f"{SAVED}:{form.entry_id.data}")
    return redirect(where, 303)
