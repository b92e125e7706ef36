"""Recording: entries into the ledger, all that were sent together or none.

The order is fixed: the originals that entries name are on the disk before; then one transaction
checks, seals and inserts the entries with what lists show of them; then the receipts are answered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from types import MappingProxyType
from typing import TYPE_CHECKING

from qa.assess.finding import Finding
from qa.assess.fitting import require_fitting_entry
from qa.errors import ConflictError, NotFoundError, Problem, RecordError
from qa.record.canonical import digest
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.growing import GrowingRecord
from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.record.kinds.papers import Correction, Photo
from qa.record.registry import Kind
from qa.record.schema import written as as_json
from qa.record.sealing import Arrival, PhotoFile
from qa.services.access import Act, Actor, require
from qa.services.appending import Appending, appending
from qa.services.mail_tasks import Mail, MailKind, enqueue_mail
from qa.services.open_jobs import Standing
from qa.services.permissions import act_of
from qa.store.originals import find_original

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry as somebody sends it.

    Attributes:
        id: UUID made by whoever writes it.
        at: when it was seen or done.
        body: the fields of its kind.
        original: for a photo, SHA-256 of the original that was handed in before.
        at_is_reckoned: whether the site reckoned `at` from its own clock; sent again, the same
            entry then comes with a slightly different one, which makes it no other entry.
    """

    id: str
    kind: Kind
    at: datetime
    body: Mapping[str, Json]
    original: str | None = None
    at_is_reckoned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What the ledger answers for an entry.

    Attributes:
        repeated: whether the ledger held it already, so that this is the first receipt again.
        findings: what it says of the roof at once.
    """

    entry: str
    seq: int
    hash: str
    received_at: datetime
    repeated: bool
    findings: tuple[Finding, ...]


def record(
    installation: Installation,
    actor: Actor,
    job_id: str,
    drafts: Sequence[Draft],
    *,
    now: datetime,
    device: str | None = None,
    provided: Callable[[Standing], None] | None = None,
) -> tuple[Receipt, ...]:
    """Takes entries into a job's record, in their order.

    Args:
        installation: where.
        actor: who records; entries carry their key.
        job_id: the installation's id of the job.
        drafts: the entries.
        now: the server's clock.
        device: what the entries come from, or None.
        provided: raises where the job, as it stands when nobody else can add to it, forbids them.

    Raises:
        NotFoundError: the actor's firm has no such job, or no such original.
        NotAllowedError: the actor's roles do not allow one of the entries.
        RecordError: with every fault of the first entry that cannot be read; `line` is its number
            from 1 where several were sent.
        ConflictError: an id was used before for another content.
    """
    require(actor, Act.READ_JOBS)
    arrival = Arrival(received_at=now, device=device)
    with appending(installation, firm_id=actor.firm_id, job_id=job_id) as job:
        if provided is not None:
            provided(job.open_job.standing())
        taken = [
            _numbered(number if len(drafts) > 1 else None, installation, actor, job, draft, arrival)
            for number, draft in enumerate(drafts, start=1)
        ]
        new = [entry for entry, receipt in taken if not receipt.repeated]
        told = [found for _, receipt in taken if not receipt.repeated for found in receipt.findings]
        if new:
            job.sum_up(new, told, received_at=now)
            for mail in _mails(job_id, new):
                enqueue_mail(installation, job.database, mail, now=now)
    return tuple(receipt for _, receipt in taken)


def _mails(job_id: str, entries: Sequence[Entry]) -> Iterator[Mail]:
    """Who is to be told of signatures: supervisors of a stage that waits, its crew of a refusal."""
    for entry in entries:
        if isinstance(entry.body, SignOff):
            kind = MAIL_OF_SIGN_OFF.get(entry.body.decision)
            if kind is not None:
                yield Mail(kind=kind, about=f"{job_id}/{entry.id}")


MAIL_OF_SIGN_OFF: Mapping[SignOffDecision, MailKind] = MappingProxyType(
    {
        SignOffDecision.COMPLETE: MailKind.RELEASE_WAITING,
        SignOffDecision.REFUSED: MailKind.REFUSED,
    }
)


def _numbered(
    number: int | None,
    installation: Installation,
    actor: Actor,
    job: Appending,
    draft: Draft,
    arrival: Arrival,
) -> tuple[Entry, Receipt]:
    """As `take`; a fault says which of several entries has it."""
    try:
        return take(installation, actor, job, draft, arrival)
    except RecordError as error:
        if number is None:
            raise
        place = f"entry {number}"
        problems = tuple(replace(one, place=place, line=number) for one in error.problems)
        raise RecordError(problems) from error


def take(
    installation: Installation, actor: Actor, job: Appending, draft: Draft, arrival: Arrival
) -> tuple[Entry, Receipt]:
    """One entry into a record, inside a transaction whose caller then sums up what lists show.

    Returns:
        The entry as the ledger holds it, and its receipt.

    Raises:
        NotAllowedError, RecordError, ConflictError, NotFoundError: as `record`.
    """
    growing = job.open_job.growing
    photos = _photo_files(actor, job, draft)
    entry = growing.read(_written(actor, draft, photos))
    require(actor, act_of(entry, _corrected_kind(growing, entry)))
    _require_same_file(entry, photos)
    held = growing.find(draft.id)
    if held is not None:
        return held, _repeated(held, entry, draft, job)
    require_fitting_entry(entry, job.open_job.specification)
    sealed, disclosures = growing.seal(
        entry, arrival, photos=photos, new_salt=installation.new_salt
    )
    return sealed, _receipt(sealed, job.keep(sealed, disclosures), repeated=False)


def _written(actor: Actor, draft: Draft, photos: Mapping[str, PhotoFile]) -> dict[str, Json]:
    body = dict(draft.body)
    if draft.original is not None:
        body["file"] = next(iter(photos))
    return {
        "id": draft.id,
        "kind": draft.kind.value,
        "at": draft.at.isoformat(),
        "by": actor.key,
        "body": body,
    }


def _photo_files(actor: Actor, job: Appending, draft: Draft) -> Mapping[str, PhotoFile]:
    """The photo file that a draft names, by its name in the record."""
    if draft.kind is Kind.PHOTO:
        original = find_original(job.database, draft.original or "", firm_id=actor.firm_id)
        if original is None:
            raise NotFoundError(
                "The photo has not arrived whole yet. It is sent again by itself; nothing was lost."
            )
        return {photo_file_name(original): original}
    corrected = job.open_job.growing.find(str(draft.body.get("corrects")))
    if corrected is not None and isinstance(corrected.body, Photo):
        photo = corrected.body
        return {
            photo.file: PhotoFile(
                sha256=photo.sha256 or "",
                bytes=photo.bytes or 1,
                media_type=photo.media_type or "image/jpeg",
            )
        }
    return {}


def _require_same_file(entry: Entry, photos: Mapping[str, PhotoFile]) -> None:
    """Refuses a correction that puts another file in the place of a photo's own."""
    if isinstance(entry.new_body, Photo) and entry.new_body.file not in photos:
        sentence = "names another file; a photo keeps its own. Record the other as a new photo."
        field = "correction.body.file"
        raise RecordError((Problem(place="entry", sentence=f"{field} {sentence}", field=field),))


def photo_file_name(original: PhotoFile) -> str:
    """The name in a record of an original that was handed in on the site."""
    ending = original.media_type.rpartition("/")[2].replace("jpeg", "jpg")
    return f"photos/{original.sha256[:24]}.{ending}"


def _corrected_kind(growing: GrowingRecord, entry: Entry) -> Kind | None:
    return growing.kind_of(entry.body.corrects) if isinstance(entry.body, Correction) else None


def _repeated(held: Entry, sent: Entry, draft: Draft, job: Appending) -> Receipt:
    """The first receipt again, where the same was sent; else both digests.

    A personal value that was erased since cannot be compared any more and counts as the same.
    """
    reckoned = draft.at_is_reckoned
    held_digest, sent_digest = (content_digest(e, without_time=reckoned) for e in (held, sent))
    if held_digest != sent_digest:
        raise ConflictError(
            "This was saved before with another content. What the record holds stays; "
            "to change it, put that entry right.",
            entry=held.id,
            held=held_digest,
            sent=sent_digest,
        )
    return _receipt(held, job.open_job.teller.told_by(job.open_job.growing, held), repeated=True)


_OF_THE_LEDGER = ("sha256", "bytes", "media_type")


def content_digest(entry: Entry, *, without_time: bool = False) -> str:
    """Digest of what a writer sent of an entry, personal values in the clear.

    Args:
        entry: as it was sent, or as the ledger holds it.
        without_time: leaves out when it was, where the site reckoned that itself.
    """
    body = as_json(entry.body)
    if isinstance(entry.body, Photo):
        body = {name: value for name, value in body.items() if name not in _OF_THE_LEDGER}
    content = {"id": entry.id, "kind": entry.kind.value, "by": entry.by, "body": body}
    if not without_time:
        content["at"] = entry.at.isoformat()
    return digest(content)


def _receipt(entry: Entry, findings: tuple[Finding, ...], *, repeated: bool) -> Receipt:
    if entry.seq is None or entry.hash is None or entry.received_at is None:
        raise ValueError(f"entry {entry.id} has not passed through a ledger")
    return Receipt(
        entry=entry.id,
        seq=entry.seq,
        hash=entry.hash,
        received_at=entry.received_at,
        repeated=repeated,
        findings=findings,
    )
