"""What stands between a stranger and an account: tries that are counted, questions asked once."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from qa.store.base import Base


class TryRow(Base):
    """How often the same was tried; counted here, so that it holds over several processes.

    Attributes:
        subject: keyed digest of what is counted, such as an e-mail or an address, so that the
            table tells nobody who tried.
        began_at: when the count began; it starts anew after its span.
    """

    __tablename__ = "counted_try"

    subject: Mapped[str] = mapped_column(String(64), primary_key=True)
    began_at: Mapped[datetime] = mapped_column(index=True)
    tries: Mapped[int]


class ChallengeRow(Base):
    """A question that a passkey is asked once; the row goes with its answer.

    Attributes:
        person_id: whom it was put to; None at a sign-in, where nobody is known yet.
    """

    __tablename__ = "challenge"

    challenge_hash: Mapped[str] = mapped_column(String(64), primary_key=True)
    person_id: Mapped[str | None] = mapped_column(String(36))
    expires_at: Mapped[datetime] = mapped_column(index=True)
