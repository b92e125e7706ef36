"""What came by a link and what the firm said to it, as the one who wrote it is shown it."""

from __future__ import annotations

from dataclasses import dataclass

from qa.services.messages import ToldMessage
from qa.services.reading import ReadJob
from qa.web.dates import moment_text
from qa.web.roof.wording import person_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """The receipt of something that was written by a link."""

    entry: str
    repeated: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MessageView:
    """One message.

    Attributes:
        told: when it arrived.
        text: as it was written.
        photo: address of a copy of its photograph, or nothing.
        taken: who took it into the record and when, or nothing.
        answer: the firm's answer in its own words, or nothing.
        answered: who answered and when.
    """

    told: str
    text: str
    photo: str
    taken: str
    answer: str
    answered: str


def message_view(read: ReadJob, message: ToldMessage, *, photo: str) -> MessageView:
    """One message; `photo` is the address of its picture, or nothing."""
    zone = read.job.time_zone
    taken, answer = (
        f"{person_text(read.job, note.by)}, {moment_text(note.at, zone)}" if note else ""
        for note in (message.taken, message.answer)
    )
    return MessageView(
        told=moment_text(message.received_at, zone),
        text=message.text,
        photo=photo if message.has_photo else "",
        taken=taken,
        answer=message.answer_words,
        answered=answer,
    )
