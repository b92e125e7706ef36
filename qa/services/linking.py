"""Links to one job for people outside the firm: made, listed, ended, opened.

A link is an address with a random word of 256 bits in its path, of which the database knows the
digest only. The word stands in the path because nothing else works from a letter or a printed page
without script: what follows a “#” never reaches the site, and a form would have to be filled in
before the first page. So that it stays where it was sent, pages behind a link tell no other site
where somebody came from, are kept by no shared cache, and the log names the link by its id.

Every request asks the database, so a link that is ended opens nothing from that moment on.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from qa.errors import NotFoundError, Problem, RecordError
from qa.services.access import Act, Actor, require
from qa.services.appending import NO_SUCH_JOB
from qa.services.throttling import (
    GUESSED_LINKS_FROM_ADDRESS,
    from_address,
    require_try_left,
    take_try,
)
from qa.services.vault import new_token, plain_digest
from qa.store import links
from qa.store.ledger import find_job
from qa.store.links import KeptLink, NewLink

if TYPE_CHECKING:
    from qa.services.installation import Installation


class Face(StrEnum):
    """Whom a link is for, and so what it opens."""

    HOMEOWNER = "homeowner"
    INSURER = "insurer"

    @property
    def letter(self) -> str:
        """How the addresses of its pages begin."""
        return {Face.HOMEOWNER: "h", Face.INSURER: "e"}[self]

    @property
    def writes(self) -> str:
        """What its holder writes to the firm."""
        return {Face.HOMEOWNER: "report", Face.INSURER: "question"}[self]

    @property
    def usual_days(self) -> int:
        """How long a link works where nobody says otherwise.

        The homeowner's: 15 years, after which no claim in negligence can be brought in England and
        Wales (Limitation Act 1980, s. 14B); warranties of such roofs mostly end within them
        (common practice, no source). The insurer's: 90 days, a project choice: long enough for one
        claim, and easily made anew.
        """
        return {Face.HOMEOWNER: YEARS_15_DAYS, Face.INSURER: 90}[self]


YEARS_15_DAYS = 5479
LONGEST_DAYS = 9862
"""27 years: the longest warranty of such a roof, 25 years, and a claim after it."""
LONGEST_RECIPIENT = 120
DOES_NOT_WORK = (
    "This link does not work. It may have been ended or be too old, or a part of it is missing. "
    "Ask the firm that sent it for a new one."
)
"""The one answer to a link that was guessed, ended, too old, or made for something else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeLink:
    """A link that was just made.

    Attributes:
        address: the whole address; it is not shown again.
    """

    address: str = field(repr=False)
    face: Face
    recipient: str
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLink:
    """What a link that works opens: one job of one firm.

    Attributes:
        firm: its name.
        shows_personal: whether names and addresses are shown.
    """

    id: str
    firm_id: str
    job_id: str
    face: Face
    firm: str
    recipient: str
    shows_personal: bool
    expires_at: datetime


def make_link(
    installation: Installation,
    actor: Actor,
    job_id: str,
    *,
    face: Face,
    recipient: str,
    days: int | None = None,
    shows_personal: bool = False,
    now: datetime,
) -> MadeLink:
    """Makes a link to a job of the actor's firm.

    Args:
        installation: where.
        actor: who makes it.
        job_id: the installation's id of the job.
        face: whom it is for.
        recipient: their name, for the firm's own list.
        days: how long it works, 1 to `LONGEST_DAYS`; None for as long as is usual.
        shows_personal: whether an insurer sees names and addresses; a homeowner always does.
        now: the time.

    Raises:
        NotFoundError: the firm has no such job.
        RecordError: the recipient has no name that can be shown, or the days lie outside.
    """
    require(actor, Act.SHARE)
    days = face.usual_days if days is None else days
    name = _require_typed(recipient, days)
    token = new_token()
    new = NewLink(
        id=installation.new_id(),
        firm_id=actor.firm_id,
        job_id=job_id,
        face=face.value,
        token_hash=plain_digest(token),
        made_by=actor.person_id,
        recipient=name,
        shows_personal=shows_personal or face is Face.HOMEOWNER,
        created_at=now,
        expires_at=now + timedelta(days=days),
    )
    with installation.store.writing() as session:
        if find_job(session, firm_id=actor.firm_id, job_id=job_id) is None:
            raise NotFoundError(NO_SUCH_JOB)
        links.add_link(session, new)
    return MadeLink(
        address=f"{installation.settings.origin.rstrip('/')}/{face.letter}/{token}/",
        face=face,
        recipient=name,
        expires_at=new.expires_at,
    )


def links_of(installation: Installation, actor: Actor, job_id: str) -> tuple[KeptLink, ...]:
    """Every link that was made to a job, the newest first.

    Raises:
        NotFoundError: the actor's firm has no such job.
    """
    require(actor, Act.SHARE)
    with installation.store.reading() as session:
        if find_job(session, firm_id=actor.firm_id, job_id=job_id) is None:
            raise NotFoundError(NO_SUCH_JOB)
        return links.links_of_job(session, firm_id=actor.firm_id, job_id=job_id)


def end_link(
    installation: Installation, actor: Actor, job_id: str, link_id: str, *, now: datetime
) -> None:
    """Ends a link to a job of the actor's firm; from then on it opens nothing.

    Raises:
        NotFoundError: the job has no such link, or it was ended already.
    """
    require(actor, Act.SHARE)
    with installation.store.writing() as session:
        ended = links.end_link(session, link_id, firm_id=actor.firm_id, job_id=job_id, now=now)
        if not ended:
            raise NotFoundError("This link was ended already, or it was never made for this job.")


def open_link(
    installation: Installation, face: Face, token: str, *, address: str, now: datetime
) -> OpenLink:
    """What the link of a token opens.

    Only words that were never a link's are counted as guesses: whoever holds one that has ended
    shall not keep a neighbour out. Who has guessed too often is refused before anything is looked
    up, whatever they then send.

    Args:
        installation: where.
        face: what the address says that it opens.
        token: as it came.
        address: the network address it came from.
        now: the time.

    Raises:
        NotFoundError: guessed, ended, too old, or another face's; always with the same sentence.
        TooOftenError: from there, too many were guessed.
    """
    guesses = from_address(GUESSED_LINKS_FROM_ADDRESS, address)
    require_try_left(installation, guesses, now=now)
    with installation.store.reading() as session:
        found = links.link_by_token(session, plain_digest(token))
    if found is None:
        take_try(installation, [guesses], now=now)
        raise NotFoundError(DOES_NOT_WORK)
    if found.face != face or not found.is_open(now):
        raise NotFoundError(DOES_NOT_WORK)
    if not links.is_noted(found, now):
        with installation.store.writing() as session:
            links.note_use(session, found.id, now=now)
    return OpenLink(
        id=found.id,
        firm_id=found.firm_id,
        job_id=found.job_id,
        face=face,
        firm=found.firm,
        recipient=found.recipient,
        shows_personal=found.shows_personal,
        expires_at=found.expires_at,
    )


def _require_typed(recipient: str, days: int) -> str:
    """The name as it is kept.

    Raises:
        RecordError: with each fault at its field.
    """
    name, faults = " ".join(recipient.split()), []
    if not name or not name.isprintable() or len(name) > LONGEST_RECIPIENT:
        sentence = f"Write whom the link is for, in 1 to {LONGEST_RECIPIENT} printable characters."
        faults.append(Problem(place="link", field="link.recipient", sentence=sentence))
    if not 1 <= days <= LONGEST_DAYS:
        sentence = f"A link works for 1 to {LONGEST_DAYS} days; choose a time between."
        faults.append(Problem(place="link", field="link.days", sentence=sentence))
    if faults:
        raise RecordError(tuple(faults))
    return name
