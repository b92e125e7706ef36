"""Links and messages in the database; of the links' tokens only digests."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, CursorResult, Select, case, func, select, update
from sqlalchemy.orm import Session

from qa.store.columns import columns_of, value_of
from qa.store.store import Database
from qa.store.tables import FirmRow, LinkRow, MessageRow, PersonRow

VISIT = timedelta(minutes=10)
"""Whatever is fetched within this time of what was fetched before belongs to one visit."""
ERASED = "(erased)"
"""Stands where words were that somebody had erased."""
_NOTED_EVERY = timedelta(minutes=1)
"""A page with a hundred photographs shall not write a hundred times that it was looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLink:
    """A link as the database holds it.

    Attributes:
        made_by: name of whoever made it.
        firm: name of the firm.
        ended_at: when somebody ended it, or None.
    """

    id: str
    firm_id: str
    job_id: str
    face: str
    firm: str
    made_by: str
    recipient: str
    shows_personal: bool
    created_at: datetime
    expires_at: datetime
    ended_at: datetime | None
    last_used_at: datetime | None
    uses: int

    def is_open(self, now: datetime) -> bool:
        """Whether it still works."""
        return self.ended_at is None and now < self.expires_at


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLink:
    """A link that is about to be made; see `qa.store.tables.links.LinkRow`."""

    id: str
    firm_id: str
    job_id: str
    face: str
    token_hash: str
    made_by: str
    recipient: str
    shows_personal: bool
    created_at: datetime
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """What somebody wrote by a link; see `qa.store.tables.links.MessageRow`."""

    id: str
    link_id: str
    firm_id: str
    job_id: str
    text: str
    photo: str | None
    received_at: datetime
    entry_id: str
    photo_entry_id: str
    answer_id: str


def add_link(session: Session, new: NewLink) -> None:
    """Adds a link."""
    session.add(LinkRow(**columns_of(new), ended_at=None, last_used_at=None, uses=0))
    session.flush()


def link_by_token(session: Session, token_hash: str) -> KeptLink | None:
    """The link of a token, whether it still works or not."""
    return _first(session, LinkRow.token_hash == token_hash)


def links_of_job(session: Session, *, firm_id: str, job_id: str) -> tuple[KeptLink, ...]:
    """Every link to a firm's job, the newest first."""
    query = _links().where(LinkRow.firm_id == firm_id, LinkRow.job_id == job_id)
    rows = session.execute(query.order_by(LinkRow.created_at.desc(), LinkRow.id.desc()))
    return tuple(_kept(*row) for row in rows)


def end_link(session: Session, link_id: str, *, firm_id: str, job_id: str, now: datetime) -> bool:
    """Ends a link of a firm's job; False where the job has none that is open."""
    result = session.execute(
        update(LinkRow)
        .where(
            LinkRow.id == link_id,
            LinkRow.firm_id == firm_id,
            LinkRow.job_id == job_id,
            LinkRow.ended_at.is_(None),
        )
        .values(ended_at=now)
    )
    assert isinstance(result, CursorResult)
    return result.rowcount == 1


def is_noted(link: KeptLink, now: datetime) -> bool:
    """Whether it is written already that the link is in use at this time."""
    return link.last_used_at is not None and now - link.last_used_at < _NOTED_EVERY


def note_use(session: Session, link_id: str, *, now: datetime) -> None:
    """Notes that a link is used; a visit is counted once."""
    is_new = LinkRow.last_used_at.is_(None) | (LinkRow.last_used_at <= now - VISIT)
    session.execute(
        update(LinkRow)
        .where(LinkRow.id == link_id)
        .values(uses=case((is_new, LinkRow.uses + 1), else_=LinkRow.uses), last_used_at=now)
    )


def add_message(session: Session, new: Message) -> None:
    """Adds a message."""
    session.add(MessageRow(**columns_of(new)))
    session.flush()


def messages_of_job(
    session: Session, *, firm_id: str, job_id: str
) -> tuple[tuple[Message, KeptLink], ...]:
    """What was written about a firm's job, each with its link, the newest first."""
    query = (
        select(MessageRow, LinkRow, FirmRow.name, PersonRow.name)
        .join(LinkRow, LinkRow.id == MessageRow.link_id)
        .join(FirmRow, FirmRow.id == LinkRow.firm_id)
        .join(PersonRow, PersonRow.id == LinkRow.made_by)
        .where(MessageRow.firm_id == firm_id, MessageRow.job_id == job_id)
        .order_by(MessageRow.received_at.desc(), MessageRow.id.desc())
    )
    return tuple((_message(row[0]), _kept(*row[1:])) for row in session.execute(query))


def find_message(
    session: Session, message_id: str, *, firm_id: str, job_id: str
) -> tuple[Message, KeptLink] | None:
    """One of them, or None where the firm's job has none of that id."""
    found = messages_of_job(session, firm_id=firm_id, job_id=job_id)
    return next((pair for pair in found if pair[0].id == message_id), None)


def erase_words(database: Database, *, job_id: str, words: Iterable[str]) -> None:
    """Takes words out of the recipients of a job's links and of what was written by them."""
    for word in filter(None, words):
        for column, row in ((LinkRow.recipient, LinkRow), (MessageRow.text, MessageRow)):
            of_job = update(row).where(row.job_id == job_id, column.contains(word, autoescape=True))
            database.execute(of_job.values({column: func.replace(column, word, ERASED)}))


def _links() -> Select[tuple[LinkRow, str, str]]:
    return (
        select(LinkRow, FirmRow.name, PersonRow.name)
        .join(FirmRow, FirmRow.id == LinkRow.firm_id)
        .join(PersonRow, PersonRow.id == LinkRow.made_by)
    )


def _first(session: Session, condition: ColumnElement[bool]) -> KeptLink | None:
    row = session.execute(_links().where(condition)).first()
    return None if row is None else _kept(*row)


def _kept(row: LinkRow, firm: str, made_by: str) -> KeptLink:
    return value_of(KeptLink, row, firm=firm, made_by=made_by)


def _message(row: MessageRow) -> Message:
    return value_of(Message, row)
