"""What comes by a link: kept word for word, taken into the record once, answered once."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest

from qa.errors import ConflictError, NotFoundError, RecordError, TooOftenError
from qa.record.kinds.papers import Note
from qa.services import desk
from qa.services.access import Actor, Role
from qa.services.linking import Face, OpenLink, make_link, open_link
from qa.services.messages import (
    LONGEST_TEXT,
    ToldMessage,
    message_photo,
    messages_by,
    messages_of,
    take_message,
    write_message,
)
from qa.services.reading import ReadJob, read_job
from qa.services.rebuilding import rebuild
from tests.house import NOON, House, add_person, jpeg
from tests.roof_job import RoofJob

LATER = NOON + timedelta(hours=2)


@pytest.fixture
def job(house: House) -> RoofJob:
    return RoofJob.started(house)


@pytest.fixture
def link(job: RoofJob) -> OpenLink:
    return a_link(job)


def a_link(job: RoofJob, face: Face = Face.HOMEOWNER) -> OpenLink:
    installation = job.house.installation
    made = make_link(
        installation, job.house.omar, job.id, face=face, recipient="Ann Invented", now=NOON
    )
    token = made.address.split("/")[-2]
    return open_link(installation, face, token, address="192.0.2.7", now=NOON)


def read(job: RoofJob) -> ReadJob:
    return read_job(job.house.installation, job.house.omar, job.id)


def told(job: RoofJob) -> tuple[ToldMessage, ...]:
    return messages_of(job.house.installation, job.house.omar, read(job))


def take(job: RoofJob, actor: Actor, answer: str | None = None) -> int:
    (one, *_) = told(job)
    receipts = take_message(job.house.installation, actor, job.id, one.id, answer=answer, now=LATER)
    return len(receipts)


def test_words_are_kept_as_they_came(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, " A stain\r\non the <b>ceiling</b>. ", now=NOON)
    (one,) = told(job)
    assert (one.text, one.word, one.received_at) == (
        "A stain\non the <b>ceiling</b>.", "report", NOON,
    )  # fmt: skip
    assert one.taken is None
    assert one.answer is None


def test_taken_and_answered_are_notes_that_name_the_source(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, "A stain.", now=NOON)
    assert take(job, job.house.omar, "We come on Monday.") == 2
    notes = [entry for entry in read(job).job.entries if isinstance(entry.body, Note)]
    assert [note.by for note in notes] == ["omar", "omar"]
    first, second = (note.body.text for note in notes if isinstance(note.body, Note))
    came = f"by the homeowner’s link (no. {link.id[-6:]}) on 12 May 2026, 13:00"
    assert first == f"Came {came}: “A stain.”"
    assert second == f"Answer to what came {came}: “We come on Monday.”"
    assert "Ann" not in first + second
    (one,) = messages_by(job.house.installation, link, read(job).job)
    assert one.answer is not None
    assert one.answer.body.text == second


def test_photograph_goes_into_the_record_with_the_words(job: RoofJob, link: OpenLink) -> None:
    content = jpeg(7)
    write_message(job.house.installation, link, "Here.", io.BytesIO(content), now=NOON)
    (one,) = told(job)
    photo = message_photo(job.house.installation, "firm-1", job.id, one.id)
    assert photo.path.read_bytes() == content
    assert take(job, job.house.ines) == 2
    (photo,) = read(job).job.photos
    assert "by the homeowner’s link" in (photo.body.caption or "")
    assert told(job)[0].photo_is_taken


def test_office_takes_the_words_and_the_roof_the_photograph(
    house: House, link: OpenLink, job: RoofJob
) -> None:
    write_message(house.installation, link, "Here.", io.BytesIO(jpeg(7)), now=NOON)
    office = add_person(house.installation, "firm-1", "omar-o", Role.OFFICE)
    office = Actor(
        firm_id="firm-1", person_id=office.person_id, key="omar", name="O", roles=office.roles
    )
    assert take(job, office, "Thank you.") == 2
    assert not told(job)[0].photo_is_taken
    assert take(job, house.ines) == 1
    assert take(job, house.ines) == 0
    assert told(job)[0].photo_is_taken


def test_second_answer_is_refused(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, "A stain.", now=NOON)
    take(job, job.house.omar, "Monday.")
    with pytest.raises(ConflictError, match="answered already"):
        take(job, job.house.ines, "Tuesday.")


def test_insurer_asks_a_question_and_sees_no_report(job: RoofJob, link: OpenLink) -> None:
    insurer = a_link(job, Face.INSURER)
    write_message(job.house.installation, link, "A stain.", now=NOON)
    write_message(job.house.installation, insurer, "Who released it?", now=LATER)
    now = read(job).job
    assert [one.text for one in messages_by(job.house.installation, insurer, now)] == [
        "Who released it?"
    ]
    assert [(one.number, one.word) for one in told(job)] == [(2, "question"), (1, "report")]


@pytest.mark.parametrize("text", ["", " \n ", "x" * (LONGEST_TEXT + 1), "a\x00", "a\u202eb"])
def test_words_that_cannot_be_shown_are_refused(job: RoofJob, link: OpenLink, text: str) -> None:
    with pytest.raises(RecordError, match="characters that can be shown"):
        write_message(job.house.installation, link, text, io.BytesIO(jpeg()), now=NOON)
    assert told(job) == ()


def test_what_is_no_photograph_is_refused_with_all(job: RoofJob, link: OpenLink) -> None:
    with pytest.raises(RecordError) as refused:
        write_message(job.house.installation, link, "A", io.BytesIO(b"<svg/>"), now=NOON)
    assert refused.value.problems[0].field == "message.photo"
    assert told(job) == ()


def test_twenty_a_day_are_taken(job: RoofJob, link: OpenLink) -> None:
    for number in range(20):
        write_message(job.house.installation, link, f"{number}", now=NOON)
    with pytest.raises(TooOftenError):
        write_message(job.house.installation, link, "more", now=NOON)


def test_another_firm_takes_nothing(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, "A stain.", now=NOON)
    (one,) = told(job)
    with pytest.raises(NotFoundError):
        take_message(job.house.installation, job.house.rival, job.id, one.id, answer="x", now=LATER)
    with pytest.raises(NotFoundError):
        message_photo(job.house.installation, "firm-2", job.id, one.id)


def waiting(job: RoofJob, actor: Actor) -> list[tuple[str, str]]:
    found = desk.messages(job.house.installation, actor)
    return [(one.job.id, one.face) for one in found]


def test_message_waits_at_the_desk_until_it_is_answered(job: RoofJob, link: OpenLink) -> None:
    installation, omar = job.house.installation, job.house.omar
    assert waiting(job, omar) == []
    write_message(installation, link, "A stain.", now=NOON)
    assert waiting(job, omar) == [(job.id, "homeowner")]
    assert desk.needs(installation, omar).messages == desk.messages(installation, omar)
    take(job, omar)
    assert waiting(job, omar) == [(job.id, "homeowner")]
    take(job, omar, "We come on Monday.")
    assert waiting(job, omar) == []
    assert rebuild(installation).changed == ()


def test_message_waits_again_once_its_answer_is_withdrawn(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, "A stain.", now=NOON)
    take(job, job.house.omar, "We come on Monday.")
    answer = told(job)[0].answer
    assert answer is not None
    job.clock = LATER
    job.add("correction", by=job.house.omar, corrects=answer.id, reason="Wrong roof.", body=None)
    assert waiting(job, job.house.omar) == [(job.id, "homeowner")]
    assert rebuild(job.house.installation).changed == ()


def test_message_waits_at_no_other_firms_desk(job: RoofJob, link: OpenLink) -> None:
    write_message(job.house.installation, link, "A stain.", now=NOON)
    assert waiting(job, job.house.rival) == []
