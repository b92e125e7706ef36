"""Entries as another program writes them: in the open format, less what the ledger adds."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import Problem, RecordError
from qa.record import fields
from qa.record.fields import Fault, Json, shown, visible
from qa.record.lines import fault_problems
from qa.record.registry import Kind
from qa.services.access import Actor
from qa.services.reading import read_job
from qa.services.recording import Draft, Receipt, record

if TYPE_CHECKING:
    from qa.services.installation import Installation

MOST_AT_ONCE = 1000
"""Entries of one request: few enough that a site's other writers never wait long."""
_FIELDS = ("id", "kind", "at", "by", "body")
_OF_THE_LEDGER = ("bytes", "media_type")
DEVICE = "a program, by its token"


def record_written(
    installation: Installation, actor: Actor, job_id: str, sent: Json, *, now: datetime
) -> tuple[Receipt, ...]:
    """Takes entries into a job's record, all that were sent or none.

    A photo names in `sha256` the original that was handed in before.

    Args:
        installation: where.
        actor: who the program acts for; entries must be by them.
        job_id: the installation's id of the job.
        sent: one entry, or a list of at most `MOST_AT_ONCE`.
        now: the server's clock.

    Raises:
        RecordError: with every fault found, each with its field, and with the entry's number from 1
            where a list was sent.
        NotFoundError, NotAllowedError, ConflictError: as `qa.services.recording.record`.
    """
    read_job(installation, actor, job_id)  # a job that is not there is told before any fault
    written = sent if type(sent) is list else [sent]
    if not 1 <= len(written) <= MOST_AT_ONCE:
        sentence = f"Send from 1 to {MOST_AT_ONCE} entries at once; these are {len(written)}."
        raise RecordError((Problem(place="The request", sentence=sentence),))
    problems: list[Problem] = []
    drafts: list[Draft] = []
    for number, one in enumerate(written, start=1):
        try:
            drafts.append(_draft(one, actor))
        except Fault as fault:
            line = number if type(sent) is list else None
            problems.extend(fault_problems(fault, "entries", line))
    if problems:
        raise RecordError(tuple(problems))
    return record(installation, actor, job_id, drafts, now=now, device=DEVICE)


def _draft(written: Json, actor: Actor) -> Draft:
    """An entry to be recorded.

    Raises:
        Fault: with every field of the envelope that is refused.
    """
    if type(written) is not dict:
        raise Fault(f"is {shown(written)}; an entry is an object in curly brackets")
    faults = list(_envelope_faults(written, actor))
    if faults:
        raise Fault.joined(faults)
    kind, body = Kind(written["kind"]), written["body"]
    original = body.get("sha256") if kind is Kind.PHOTO else None
    if kind is Kind.PHOTO:
        body = {name: value for name, value in body.items() if name not in _OF_THE_LEDGER}
        body.pop("sha256", None)
    return Draft(
        id=written["id"],
        kind=kind,
        at=fields.moment(written["at"]),
        body=body,
        original=original,
    )


def _envelope_faults(written: dict[str, Json], actor: Actor) -> Iterator[Fault]:
    for name in written.keys() - set(_FIELDS):
        known = ", ".join(_FIELDS)
        yield Fault(f"is not a field that a program sends; they are: {known}", visible(name))
    if written.get("kind") == Kind.ERASURE:
        yield Fault("is erasure; personal values are erased on the site only, by a person", "kind")
    readers: dict[str, fields.Reader] = {
        "id": fields.uuid,
        "kind": fields.choice(Kind),
        "at": fields.moment,
        "by": _by(actor),
    }
    for name in _FIELDS:
        if name not in written:
            yield Fault("is missing; every entry has one", name)
        elif name in readers:
            try:
                readers[name](written[name])
            except Fault as fault:
                yield fault.under(name)
    yield from _body_faults(written)


def _by(actor: Actor) -> fields.Reader:
    def read(value: Json) -> str:
        if value != actor.key:
            raise Fault(f"is {shown(value)}; the token is {actor.key}’s, and so are its entries")
        return actor.key

    return read


def _body_faults(written: dict[str, Json]) -> Iterator[Fault]:
    body = written.get("body")
    if "body" in written and type(body) is not dict:
        yield Fault(f"is {shown(body)}; it must be an object in curly brackets", "body")
    elif written.get("kind") == Kind.PHOTO and type(body) is dict:
        try:
            fields.sha256(body.get("sha256"))
        except Fault as fault:
            yield fault.under("photo.sha256")
