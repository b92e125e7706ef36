"""How the record tells of a message that came by a link: the words of its notes, made and read."""

from __future__ import annotations

from qa.record.job import Job
from qa.store.links import KeptLink, Message


def came_by(job: Job, message: Message, link: KeptLink) -> str:
    """By whose link and when: the source that the record names."""
    local = message.received_at.astimezone(job.time_zone)
    when = f"{local.day} {local:%B %Y, %H:%M}"
    return f"by the {link.face}’s link (no. {link.id[-6:]}) on {when}"


def answer_note(came: str, words: str) -> str:
    """What the note of an answer says."""
    return f"Answer to what came {came}: “{words}”"


def answer_words_in(came: str, note: str) -> str:
    """The words of an answer from its note; the whole note where it says it otherwise by now."""
    before, after = answer_note(came, "\0").split("\0")
    if not note.startswith(before) or not note.endswith(after):
        return note
    return note.removeprefix(before).removesuffix(after)
