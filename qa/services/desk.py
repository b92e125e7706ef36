"""What needs somebody at the desk: releases, messages, what is outside or late, packs due."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.services.access import Act, Actor, require
from qa.store.desk_lists import (
    ListedFinding,
    ListedMessage,
    ListedPackDue,
    ListedRelease,
    list_findings,
    list_messages,
    list_packs_due,
    list_releases,
)

if TYPE_CHECKING:
    from qa.services.installation import Installation

A_PAGE = 30
"""Lines on one page of a list."""
SHOWN_FIRST = 8
"""Lines of each kind on the page of everything; one more tells whether there are others."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """The first lines of each kind, in the order in which they ask for somebody."""

    releases: tuple[ListedRelease, ...]
    messages: tuple[ListedMessage, ...]
    outside: tuple[ListedFinding, ...]
    late: tuple[ListedFinding, ...]
    packs_due: tuple[ListedPackDue, ...]


def needs(installation: Installation, actor: Actor) -> Needs:
    """What needs somebody of the actor's firm, `SHOWN_FIRST` of each kind and one more."""
    require(actor, Act.SEE_DESK)
    firm, most = actor.firm_id, SHOWN_FIRST + 1
    with installation.store.reading() as session:
        return Needs(
            releases=list_releases(session, firm_id=firm, most=most),
            messages=list_messages(session, firm_id=firm, most=most),
            outside=list_findings(session, firm_id=firm, late=False, most=most),
            late=list_findings(session, firm_id=firm, late=True, most=most),
            packs_due=list_packs_due(session, firm_id=firm, most=most),
        )


def releases(
    installation: Installation, actor: Actor, *, skip: int = 0, most: int = A_PAGE
) -> tuple[ListedRelease, ...]:
    """The stages that wait for a supervisor, the oldest sign-off first."""
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        return list_releases(session, firm_id=actor.firm_id, most=most, skip=skip)


def messages(
    installation: Installation, actor: Actor, *, skip: int = 0, most: int = A_PAGE
) -> tuple[ListedMessage, ...]:
    """What homeowners and insurers wrote and nobody has answered, the longest waiting first."""
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        return list_messages(session, firm_id=actor.firm_id, most=most, skip=skip)


def findings(
    installation: Installation,
    actor: Actor,
    *,
    late: bool | None = None,
    check: str | None = None,
    skip: int = 0,
    most: int = A_PAGE,
) -> tuple[ListedFinding, ...]:
    """What is open, the newest first; see `qa.store.desk_lists.list_findings`."""
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        return list_findings(
            session, firm_id=actor.firm_id, late=late, check=check, most=most, skip=skip
        )


def packs_due(
    installation: Installation, actor: Actor, *, skip: int = 0, most: int = A_PAGE
) -> tuple[ListedPackDue, ...]:
    """The jobs that wait for their handover pack, the longest waiting first."""
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        return list_packs_due(session, firm_id=actor.firm_id, most=most, skip=skip)
