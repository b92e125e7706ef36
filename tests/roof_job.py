"""A small job in an installation of the tests, and entries for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from qa.record.registry import Kind
from qa.services.access import Actor
from qa.services.recording import Draft, Receipt, record
from qa.services.starting import start_job
from tests.examples import minimal
from tests.house import NOON, House


def opening(**fields: Any) -> dict[str, Any]:
    """The body of kind `job`, whose crew are the installer and the supervisor of the house."""
    crew = [
        {"person": "ines", "name": "Ines Invented", "role": "installer"},
        {"person": "omar", "name": "Omar Invented", "role": "supervisor"},
    ]
    return minimal("job") | {"crew": crew} | fields


@dataclass(slots=True)
class RoofJob:
    """A job with an area and lots, in which the tests record.

    Attributes:
        id: the installation's id of it.
        clock: the server's clock; every entry arrives a minute after the one before.
    """

    house: House
    id: str
    clock: datetime

    @classmethod
    def started(cls, house: House, **fields: Any) -> RoofJob:
        """A job that the installer has started."""
        installation = house.installation
        body = opening(**fields)
        identifier = start_job(
            installation, house.ines, body, entry_id=installation.new_id(), at=NOON, now=NOON
        )
        return cls(house=house, id=identifier, clock=NOON)

    @classmethod
    def equipped(cls, house: House, **fields: Any) -> RoofJob:
        """A job with the area `main` and a lot of resin and of catalyst."""
        job = cls.started(house, **fields)
        job.add("area")
        job.add("lot", lot="resin-1")
        job.add("lot", lot="catalyst-1", material="catalyst", batch_number="C 88", quantity=2)
        return job

    def draft(self, kind: str, *, entry_id: str | None = None, **fields: Any) -> Draft:
        """An entry as the installer's phone would send it."""
        self.clock += timedelta(minutes=1)
        body = {name.rstrip("_"): value for name, value in (minimal(kind) | fields).items()}
        original = body.pop("original", None)
        if original is not None:
            body.pop("file", None)
        return Draft(
            id=entry_id or self.house.installation.new_id(),
            kind=Kind(kind),
            at=self.clock - timedelta(seconds=20),
            body=body,
            original=original,
        )

    def add(self, kind: str, *, by: Actor | None = None, **fields: Any) -> Receipt:
        """Records one entry and answers its receipt."""
        return self.send([self.draft(kind, **fields)], by=by)[0]

    def send(self, drafts: Sequence[Draft], *, by: Actor | None = None) -> tuple[Receipt, ...]:
        """Records entries together."""
        who = by or self.house.ines
        return record(self.house.installation, who, self.id, drafts, now=self.clock)
