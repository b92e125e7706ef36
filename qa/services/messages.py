"""What people outside the firm write by a link, and what the firm does with it.

A homeowner or an insurer is not of the crew, so that nothing of theirs can be an entry of their
own: an entry says who of the crew saw or did something. What they write is kept beside the record,
word for word, from the second it arrives, and shown to them with that time. One of the firm's
people then takes it into the record as a note that quotes it and says by which link it came, and
answers by a second note. The notes name the link and not its holder, since the chain could not let
go of a name; the list of links says whose it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, BinaryIO

from qa.errors import ConflictError, NotFoundError, PhotoError, Problem, RecordError, TooLargeError
from qa.photos.renditions import Original
from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Note
from qa.record.registry import Kind
from qa.services.access import Act, Actor, require
from qa.services.linking import Face, OpenLink
from qa.services.mail_tasks import Mail, MailKind, enqueue_mail
from qa.services.message_notes import answer_note, answer_words_in, came_by
from qa.services.originals import take_for_firm
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Draft, Receipt, record
from qa.services.throttling import MESSAGES_BY_LINK, Counted, take_try
from qa.services.webhook_events import of_message, tell
from qa.store import links
from qa.store.links import KeptLink, Message
from qa.store.originals import find_original
from qa.trade.vocabulary import Stage

if TYPE_CHECKING:
    from qa.services.installation import Installation

LONGEST_TEXT = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldMessage:
    """A message with what became of it.

    Attributes:
        number: its place among the messages of its job, from 1.
        face: by whose link it came.
        recipient: whom that link was made for.
        taken: the note that takes it into the record; None before, or where it was withdrawn.
        answer: the note that answers it; as `taken`.
        answer_words: what the firm said, without what the note says of the message.
        has_photo: whether a photograph came with it and is still there.
        photo_is_taken: whether the record shows that photograph.
    """

    id: str
    number: int
    face: Face
    recipient: str
    link_id: str
    text: str
    received_at: datetime
    taken: Recorded[Note] | None
    answer: Recorded[Note] | None
    answer_words: str
    has_photo: bool
    photo_is_taken: bool

    @property
    def word(self) -> str:
        """What it is called: a report or a question."""
        return self.face.writes


def write_message(
    installation: Installation,
    link: OpenLink,
    text: str,
    photo: BinaryIO | None = None,
    *,
    now: datetime,
) -> None:
    """Keeps what the holder of a link writes to the firm.

    Args:
        installation: where.
        link: by which it came.
        text: 1 to `LONGEST_TEXT` characters.
        photo: a photograph that shows it, from a homeowner.
        now: the time.

    Raises:
        RecordError: the words or the photograph cannot be taken; each fault at its field.
        TooOftenError: the link's holder wrote very often today.
    """
    words = _require_words(text, "message.text")
    counted = Counted(limit=MESSAGES_BY_LINK, subject=link.id)
    take_try(installation, [counted], now=now)
    sha256 = None if photo is None else _kept_photo(installation, link, photo, now)
    message = Message(
        id=installation.new_id(),
        link_id=link.id,
        firm_id=link.firm_id,
        job_id=link.job_id,
        text=words,
        photo=sha256,
        received_at=now,
        entry_id=installation.new_id(),
        photo_entry_id=installation.new_id(),
        answer_id=installation.new_id(),
    )
    with installation.store.writing() as session:
        links.add_message(session, message)
        mail = Mail(kind=MailKind.MESSAGE, about=f"{message.job_id}/{message.id}")
        enqueue_mail(installation, session, mail, now=now)
        told = of_message(link.job_id, message.id, link.face)
        tell(session, link.firm_id, told, new_id=installation.new_id, now=now)


def messages_by(installation: Installation, link: OpenLink, job: Job) -> tuple[ToldMessage, ...]:
    """What was written by one link, the newest first, as its holder is shown it."""
    told = _told_all(installation, link.firm_id, link.job_id, job)
    return tuple(one for one in told if one.link_id == link.id)


def messages_of(installation: Installation, actor: Actor, read: ReadJob) -> tuple[ToldMessage, ...]:
    """What was written about a job of the actor's firm, the newest first."""
    require(actor, Act.READ_JOBS)
    return _told_all(installation, actor.firm_id, read.id, read.job)


def message_of(
    installation: Installation, actor: Actor, read: ReadJob, message_id: str
) -> ToldMessage:
    """One of them.

    Raises:
        NotFoundError: the job has none of that id.
    """
    for one in messages_of(installation, actor, read):
        if one.id == message_id:
            return one
    raise NotFoundError("Nothing of this kind was written about this job.")


def message_photo(
    installation: Installation, firm_id: str, job_id: str, message_id: str
) -> Original:
    """The photograph that came with a message, to be copied.

    Raises:
        NotFoundError: none came, or it was erased.
    """
    with installation.store.reading() as session:
        found = links.find_message(session, message_id, firm_id=firm_id, job_id=job_id)
        sha256 = found[0].photo if found else None
        held = sha256 and find_original(session, sha256, firm_id=firm_id)
    if not held or sha256 is None:
        raise NotFoundError("No photograph came with this, or it was erased.")
    path = installation.originals.path(sha256)
    return Original(name=f"photograph of message {message_id}", path=path, sha256=sha256)


def take_message(
    installation: Installation,
    actor: Actor,
    job_id: str,
    message_id: str,
    *,
    answer: str | None,
    now: datetime,
) -> tuple[Receipt, ...]:
    """Takes a message into the record, and answers it; each once, whoever else does it too.

    Its photograph goes with it where the actor may record work; else it waits for somebody who may.

    Args:
        installation: where.
        actor: who takes it in; the notes are theirs.
        job_id: the installation's id of the job.
        message_id: which.
        answer: what the firm says to it; None to take it in alone.
        now: the time.

    Returns:
        The receipts of the entries, those of before left out.

    Raises:
        NotFoundError: the firm's job has no such message.
        RecordError: the answer cannot be taken, or the actor is not of the job's crew.
        ConflictError: it was answered already.
    """
    require(actor, Act.WRITE_NOTES)
    words = None if answer is None else _require_words(answer, "note.answer")
    read = read_job(installation, actor, job_id)
    with installation.store.reading() as session:
        found = links.find_message(session, message_id, firm_id=actor.firm_id, job_id=job_id)
    if found is None:
        raise NotFoundError("Nothing of this kind was written about this job.")
    message, link = found
    known = {entry.id for entry in read.job.entries}
    if words is not None and message.answer_id in known:
        raise ConflictError(
            "This was answered already. To say more, write a note; to change the answer, put its "
            "entry right.",
            entry=message.answer_id,
        )
    drafts = [
        one
        for one in _drafts(installation, actor, read, message, link, words, now)
        if one.id not in known
    ]
    return record(installation, actor, job_id, drafts, now=now) if drafts else ()


def _drafts(
    installation: Installation,
    actor: Actor,
    read: ReadJob,
    message: Message,
    link: KeptLink,
    answer: str | None,
    now: datetime,
) -> list[Draft]:
    """The entries that a message becomes."""
    came = came_by(read.job, message, link)
    drafts = [_note(message.entry_id, f"Came {came}: “{message.text}”", now)]
    with installation.store.reading() as session:
        held = message.photo and find_original(session, message.photo, firm_id=message.firm_id)
    if held and actor.may(Act.RECORD_WORK):
        body = {"stage": Stage.COMPLETION.value, "caption": f"Came {came}"}
        drafts.append(
            Draft(id=message.photo_entry_id, kind=Kind.PHOTO, at=now, body=body,
                  original=message.photo, at_is_reckoned=True)
        )  # fmt: skip
    if answer is not None:
        drafts.append(_note(message.answer_id, answer_note(came, answer), now))
    return drafts


def _note(entry_id: str, text: str, now: datetime) -> Draft:
    return Draft(id=entry_id, kind=Kind.NOTE, at=now, body={"text": text}, at_is_reckoned=True)


def _told_all(
    installation: Installation, firm_id: str, job_id: str, job: Job
) -> tuple[ToldMessage, ...]:
    notes = {note.id: note for note in job.notes}
    known = {entry.id for entry in job.entries}
    with installation.store.reading() as session:
        found = links.messages_of_job(session, firm_id=firm_id, job_id=job_id)
        held = {
            one.photo
            for one, _ in found
            if one.photo and find_original(session, one.photo, firm_id=firm_id)
        }
    return tuple(
        ToldMessage(
            id=one.id,
            number=len(found) - place,
            face=Face(link.face),
            recipient=link.recipient,
            link_id=link.id,
            text=one.text,
            received_at=one.received_at,
            taken=notes.get(one.entry_id),
            answer=(answer := notes.get(one.answer_id)),
            answer_words=answer_words_in(came_by(job, one, link), answer.body.text)
            if answer
            else "",
            has_photo=one.photo in held,
            photo_is_taken=one.photo_entry_id in known,
        )
        for place, (one, link) in enumerate(found)
    )


def _require_words(text: str, path: str) -> str:
    """The words as they are kept.

    Raises:
        RecordError: there are none, too many, or signs among them that cannot be shown.
    """
    words = text.replace("\r\n", "\n").strip()
    shown = all(sign.isprintable() or sign in "\n\t" for sign in words)
    if not words or not shown or len(words) > LONGEST_TEXT:
        sentence = f"Write 1 to {LONGEST_TEXT} characters that can be shown."
        raise RecordError((Problem(place="message", field=path, sentence=sentence),))
    return words


def _kept_photo(installation: Installation, link: OpenLink, photo: BinaryIO, now: datetime) -> str:
    try:
        name = "The photograph"
        return take_for_firm(installation, link.firm_id, photo, name=name, now=now).sha256
    except (PhotoError, TooLargeError) as error:
        problem = Problem(place="message", field="message.photo", sentence=str(error))
        raise RecordError((problem,)) from error
