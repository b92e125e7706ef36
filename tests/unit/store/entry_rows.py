"""Rows of an invented job, written past the ledger, as somebody with the database could."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import UTC, datetime

import pytest
from sqlalchemy import insert
from sqlalchemy.orm import Session

from qa.store.tables import DisclosureRow, EntryRow, FirmRow, JobRow

ON_SQLITE = pytest.mark.parametrize("database_url", ["sqlite"], indirect=True)
"""For what only SQLite can be asked to do."""
ON_POSTGRESQL = pytest.mark.parametrize("database_url", ["postgresql"], indirect=True)
"""For what only PostgreSQL can be asked to do."""

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)
FIRST = "0" * 64
JOB = "job-1"


def hash_of(seq: int) -> str:
    """An invented hash of the entry in one place."""
    return hashlib.sha256(str(seq).encode()).hexdigest()


def entry(seq: int, **other: object) -> dict[str, object]:
    """The columns of an entry that follows the one before."""
    return {
        "job_id": JOB,
        "id": f"entry-{seq}",
        "seq": seq,
        "kind": "note",
        "by": "m-example",
        "at": NOON,
        "received_at": NOON,
        "prev": hash_of(seq - 1) if seq else FIRST,
        "hash": hash_of(seq),
        "written": "{}",
        **other,
    }


def add_job(session: Session, job_id: str = JOB) -> None:
    """A firm with a job that has no entries."""
    session.execute(insert(FirmRow).values(id=f"firm-{job_id}", name="Example", created_at=NOON))
    session.execute(
        insert(JobRow).values(
            id=job_id,
            firm_id=f"firm-{job_id}",
            opening_id="entry-0",
            reference="R-1",
            title="An invented roof",
            specification="general-grp/1",
            time_zone="Europe/London",
            entries=0,
            head=FIRST,
            opened_at=NOON,
            last_received_at=NOON,
            outside=0,
        )
    )


def add_entries(session: Session, number: int) -> None:
    """So many entries in line."""
    for seq in range(number):
        session.execute(insert(EntryRow).values(**entry(seq)))


def disclosure(**other: object) -> Mapping[str, object]:
    """The columns of a disclosure of the first entry."""
    salt = "A" * 22
    named = {"job_id": JOB, "entry_id": "entry-0", "field": "client", "salt": salt}
    return {**named, "value": "A. N. Example", **other}


def add_disclosure(session: Session) -> None:
    """A disclosure of the first entry."""
    session.execute(insert(DisclosureRow).values(**disclosure()))
