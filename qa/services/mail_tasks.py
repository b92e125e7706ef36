"""E-mail that is to be sent: what stands of it in the outbox, which is ids and nothing personal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from qa.store.outbox import enqueue
from qa.store.store import Database

if TYPE_CHECKING:
    from qa.services.installation import Installation

MAIL = "mail"
"""Task: send one message, or find out to whom it goes; its subject is the text of a `Mail`."""


class MailKind(StrEnum):
    """What a message tells; each has its template, templates/mail/KIND.txt."""

    INVITATION = "invitation"
    RELEASE_WAITING = "release_waiting"
    REFUSED = "refused"
    PACK_READY = "pack_ready"
    MESSAGE = "message"
    LOOK_DUE = "look_due"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mail:
    """A message to be made when it is sent.

    Attributes:
        about: id of the invitation or pack; of a signature, "job/entry"; of a message, "job/id"; of
            a look that is due, "job/day".
        person: id of the account that it goes to; nothing while that is to be found out.
        attempt: how often the server was away.
    """

    kind: MailKind
    about: str
    person: str = ""
    attempt: int = 0

    @property
    def text(self) -> str:
        """As the outbox holds it."""
        return f"{self.kind} {self.about} {self.person or '-'} {self.attempt}"


def read_mail(text: str) -> Mail:
    """A message from what the outbox holds."""
    kind, about, person, attempt = text.split(" ")
    return Mail(
        kind=MailKind(kind),
        about=about,
        person="" if person == "-" else person,
        attempt=int(attempt),
    )


def enqueue_mail(
    installation: Installation, database: Database, mail: Mail, *, now: datetime
) -> None:
    """Writes a message into the caller's transaction, where e-mail is sent at all."""
    if installation.settings.mail is not None:
        enqueue(database, MAIL, mail.text, now)
