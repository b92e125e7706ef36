"""Photographs that somebody asked for in words, until one of them is there.

They are wishes of a person, no request of the specification: nothing is judged by them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Note
from qa.trade.vocabulary import Stage

ASKED = "One more photo is asked for: "
"""How a note begins that asks for a photograph."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedPhoto:
    """A photograph that is still to be taken.

    Attributes:
        words: what it must show; its caption repeats them.
        area: key of the area, or None.
        entry: id of the note.
    """

    words: str
    area: str | None
    entry: str


def asked_photos(job: Job, stage: Stage) -> Iterator[AskedPhoto]:
    """What was asked for in a stage and is not there yet.

    A photograph of the stage, recorded after the note, whose caption holds the words meets it; so
    does taking the note back.

    Args:
        job: the job.
        stage: the stage.
    """
    for note in job.notes:
        body = note.body
        if body.stage is stage and body.text.startswith(ASKED) and not _is_met(job, note):
            yield AskedPhoto(words=_words(body), area=body.area, entry=note.id)


def _words(note: Note) -> str:
    return note.text.removeprefix(ASKED).strip()


def _is_met(job: Job, note: Recorded[Note]) -> bool:
    words = _words(note.body).casefold()
    return any(
        photo.position > note.position
        and photo.body.stage is note.body.stage
        and words in (photo.body.caption or "").casefold()
        for photo in job.photos
    )
