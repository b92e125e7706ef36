"""Second factors in the database: passkeys, the questions put to them, and recovery codes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import CursorResult, delete, func, select, update
from sqlalchemy.orm import Session

from qa.store.columns import columns_of, value_of
from qa.store.tables import ChallengeRow, PasskeyRow, RecoveryCodeRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Passkey:
    """A passkey as the database holds it."""

    id: str
    person_id: str
    credential_id: bytes
    public_key: bytes
    sign_count: int
    name: str
    created_at: datetime
    used_at: datetime | None


def add_passkey(session: Session, passkey: Passkey) -> None:
    """Adds a passkey."""
    session.add(PasskeyRow(**columns_of(passkey)))
    session.flush()


def passkeys_of(session: Session, person_id: str) -> tuple[Passkey, ...]:
    """A person's passkeys, the oldest first."""
    rows = session.scalars(
        select(PasskeyRow)
        .where(PasskeyRow.person_id == person_id)
        .order_by(PasskeyRow.created_at, PasskeyRow.id)
    )
    return tuple(_passkey(row) for row in rows)


def passkey_by_credential(session: Session, credential_id: bytes) -> Passkey | None:
    """The passkey that a phone calls by that name, whoever's it is."""
    row = session.scalar(select(PasskeyRow).where(PasskeyRow.credential_id == credential_id))
    return None if row is None else _passkey(row)


def use_passkey(session: Session, passkey: Passkey, *, sign_count: int, now: datetime) -> bool:
    """Notes a use; False where the passkey was used or removed meanwhile."""
    used = session.execute(
        update(PasskeyRow)
        .where(PasskeyRow.id == passkey.id, PasskeyRow.sign_count == passkey.sign_count)
        .values(sign_count=sign_count, used_at=now)
    )
    return _touched(used) == 1


def remove_passkey(session: Session, person_id: str, passkey_id: str) -> bool:
    """Removes one of a person's passkeys; False where it is none of theirs."""
    removed = session.execute(
        delete(PasskeyRow).where(PasskeyRow.id == passkey_id, PasskeyRow.person_id == person_id)
    )
    return _touched(removed) == 1


def remove_passkeys(session: Session, person_id: str) -> None:
    """Removes all of a person's passkeys."""
    session.execute(delete(PasskeyRow).where(PasskeyRow.person_id == person_id))


def put_question(
    session: Session, challenge_hash: str, *, person_id: str | None, expires_at: datetime
) -> None:
    """Notes a question that may be answered once."""
    session.add(
        ChallengeRow(challenge_hash=challenge_hash, person_id=person_id, expires_at=expires_at)
    )
    session.flush()


def take_question(
    session: Session, challenge_hash: str, *, person_id: str | None, now: datetime
) -> bool:
    """Takes a question back with its answer; False where it was not put, or not lately."""
    taken = session.execute(
        delete(ChallengeRow).where(
            ChallengeRow.challenge_hash == challenge_hash,
            ChallengeRow.person_id.is_not_distinct_from(person_id),
            ChallengeRow.expires_at > now,
        )
    )
    session.execute(delete(ChallengeRow).where(ChallengeRow.expires_at <= now))
    return _touched(taken) == 1


def keep_recovery_codes(session: Session, person_id: str, hashes: tuple[str, ...]) -> None:
    """Keeps these recovery codes in the place of all former ones."""
    session.execute(delete(RecoveryCodeRow).where(RecoveryCodeRow.person_id == person_id))
    session.add_all(
        RecoveryCodeRow(person_id=person_id, code_hash=one, used_at=None) for one in hashes
    )
    session.flush()


def use_recovery_code(session: Session, person_id: str, code_hash: str, *, now: datetime) -> bool:
    """Uses up a recovery code; False where it is none, or was used."""
    used = session.execute(
        update(RecoveryCodeRow)
        .where(
            RecoveryCodeRow.person_id == person_id,
            RecoveryCodeRow.code_hash == code_hash,
            RecoveryCodeRow.used_at.is_(None),
        )
        .values(used_at=now)
    )
    return _touched(used) == 1


def recovery_codes_left(session: Session, person_id: str) -> int:
    """How many recovery codes a person can still use."""
    count = session.scalar(
        select(func.count())
        .select_from(RecoveryCodeRow)
        .where(RecoveryCodeRow.person_id == person_id, RecoveryCodeRow.used_at.is_(None))
    )
    return count or 0


def _touched(result: object) -> int:
    assert isinstance(result, CursorResult)
    return result.rowcount


def _passkey(row: PasskeyRow) -> Passkey:
    return value_of(Passkey, row)
