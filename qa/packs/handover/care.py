"""How to look after the roof, what the warranty may ask of the owner, and whom to call."""

from __future__ import annotations

from dataclasses import dataclass

from qa.assess.frame import when
from qa.packs.chapters import Chapter
from qa.packs.handover.care_calendar import CALENDAR, CareRow
from qa.packs.handover.plain_words import Fact, stopped
from qa.packs.source import PackSource

_MISSING = "The record does not give it."


@dataclass(frozen=True, slots=True, kw_only=True)
class CareContext:
    """What the chapter on care shows.

    Attributes:
        firm: whose warranty terms come before all that is said here.
        calendar: what comes round, and what calls for a look.
        looks: each look at the roof since handover.
    """

    firm: str
    calendar: tuple[CareRow, ...]
    looks: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactContext:
    """What the chapter on whom to call shows."""

    firm: tuple[Fact, ...]
    has_contact: bool
    at_hand: tuple[Fact, ...]


def care_chapter(source: PackSource) -> Chapter:
    """The chapter on looking after the roof."""
    context = CareContext(
        firm=source.job.opening.body.firm.name, calendar=CALENDAR, looks=_looks(source)
    )
    return Chapter(
        key="care",
        title="Looking after the roof",
        template="packs/handover/care.html",
        context=context,
        sections=(
            ("calendar", "A calendar of care"),
            ("warranty", "What the warranty may ask of you"),
        ),
    )


def _looks(source: PackSource) -> tuple[Fact, ...]:
    told = []
    for inspection in sorted(source.job.inspections, key=when):
        body = inspection.body
        text = stopped(body.finding)
        if body.next_due is not None:
            text += f" The next look is due by {source.day_text(body.next_due)}."
        told.append(Fact(label=source.day_text(inspection.at), text=text))
    return tuple(told)


def contact_chapter(source: PackSource) -> Chapter:
    """The chapter on whom to call."""
    opening = source.job.opening.body
    firm = opening.firm
    context = ContactContext(
        firm=(
            Fact(label="Firm", text=firm.name),
            Fact(label="Address", text=firm.address or _MISSING),
            Fact(label="Telephone", text=firm.phone or _MISSING),
            Fact(label="E-mail", text=firm.email or _MISSING),
        ),
        has_contact=bool(firm.phone or firm.email),
        at_hand=(
            Fact(label="Job", text=f"{opening.job}, {opening.title}"),
            Fact(label="Pack", text=f"{source.edition}, {source.day_text(source.dated)}"),
        ),
    )
    return Chapter(
        key="contact",
        title="Whom to call",
        template="packs/handover/contact.html",
        context=context,
    )
