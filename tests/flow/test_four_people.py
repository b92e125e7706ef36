"""Four people take a job from the invitation to the homeowner's PDF and the insurer's question.

Each has a browser of their own. The installer's readings come by a program with a token, as from
a logger; everything that is somebody's own act goes through that somebody's page.
"""

from __future__ import annotations

import io
import re
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import pikepdf
from playwright.sync_api import Browser, expect

from qa.record.job import Job
from qa.services.delivery import work_all
from qa.services.reading import read_any_job
from qa.web import clock
from tests.examples import minimal
from tests.flow.browser import ServedSite
from tests.flow.four_people import ADDRESS, CLIENT, FourPeople, Program, four_at
from tests.flow.link_holder import photo_with_place
from tests.flow.reading_calendars import read_calendar
from tests.flow.test_owner_face import require_clean

ASKED = "The corner by the outlet, close"
STAIN = "A brown stain on the ceiling, beside the wall."
COMING = "We come on Monday at eight."
QUESTION = "Who accepted the moist board, and by what right?"
REPLY = "Isa Specimen; the client’s letter lies in our file."
AUTHORITY, LIMIT = "The client, by letter of today", "The one board by the outlet"


def test_four_people_take_a_job_from_invitation_to_question(
    site: ServedSite, browser: Browser, tmp_path: Path
) -> None:
    with four_at(site, browser) as people:
        people.everybody_comes()
        job = people.wren.starts_the_job()
        deck_is_recorded(people.wren.makes_a_token(), job)
        deck_is_signed_refused_and_released(people, job)
        moist_board_is_conceded(people, job)
        pack_is_made(site, people, job)
        homeowner_reads_and_saves(people, job, tmp_path)
        problem_is_reported_and_answered(people, job)
        insurer_reads_asks_and_is_shut_out(people, site, job, tmp_path)


def deck_is_recorded(program: Program, job: str) -> None:
    """Two hundred readings and the survey in one request; one board is too moist."""
    at = (clock.now() - timedelta(minutes=1)).isoformat()
    photo = program.hand_in(photo_with_place(31))
    deck = {"stage": "deck", "area": "main"}
    entries: list[tuple[str, Any]] = [
        ("instrument", {"instrument": "meter", "name": "Pin meter", "measures": "moisture"}),
        ("observation", minimal("observation") | deck),
        ("photo", {**deck, **photo, "caption": "The boards, laid", "check": "deck.moisture"}),
        *(
            ("conditions", {"stage": "deck", "air_c": 14 + step / 50, "humidity_pct": 60})
            for step in range(200)
        ),
        ("measurement", minimal("measurement") | deck | {"value": 19.5, "instrument": "meter"}),
    ]
    receipts = program.record(job, "wren", at, entries)
    assert len(receipts) == len(entries)
    (found,) = receipts[-1]["findings"]
    assert (found["check"], found["verdict"]) == ("deck.moisture", "outside")


def deck_is_signed_refused_and_released(people: FourPeople, job: str) -> None:
    """The supervisor wants to see more before she puts her name to it."""
    wren, isa = people.wren, people.isa
    wren.signs(job, "deck", "Boards laid and dry.")
    isa.goes_to_the_whole_job(job)
    isa.asks_for_a_photo(ASKED)
    isa.decides("deck", "Refuse", "One photo is missing.")
    wren.open(f"{job}/stages/deck")
    wren.sees("One photo is missing.")
    wren.sends_the_photo_asked_for(job, ASKED, 32)
    wren.signs(job, "deck", "Boards laid and dry, the corner too.")
    isa.open(f"/desk{job}")
    expect(isa.page.locator("main")).to_contain_text(ASKED)
    expect(isa.page.locator("main")).not_to_contain_text(f"Photo asked for: {ASKED}")
    isa.decides("deck", "Release", "Seen, the corner too.")
    isa.sees("No stage waits")


def moist_board_is_conceded(people: FourPeople, job: str) -> None:
    """A concession names its authority and its limit, and is closed with a photograph."""
    isa = people.isa
    case = isa.concedes(job, "Moisture content", authority=AUTHORITY, limit=LIMIT)
    isa.closes(case, "Measured again at 17 %", 33)
    for told in (AUTHORITY, LIMIT, "conceded in writing", "Measured again at 17 %"):
        isa.sees(told)
    isa.open(f"/desk{job}")
    isa.sees("Put right, or conceded")


def pack_is_made(site: ServedSite, people: FourPeople, job: str) -> None:
    """The office asks for it, and it is there."""
    people.olive.joins(job)
    people.olive.open(job)
    people.olive.go("Packs")
    people.olive.save("Have it made")
    work_all(site.installation, now=clock.now())
    people.olive.sees("Save the PDF")


def homeowner_reads_and_saves(people: FourPeople, job: str, folder: Path) -> None:
    """Page, PDF and calendar, without an account."""
    client = people.client
    client.opens(people.olive.makes_a_link(job, CLIENT, "Homeowner"))
    for told in (CLIENT, ADDRESS, "accepted as it is", AUTHORITY, LIMIT, "The boards, laid"):
        client.sees(told)
    content = client.saves("Save this pack as a PDF", folder)
    client.sees(sha256(content).hexdigest())
    with pikepdf.open(io.BytesIO(content)) as pdf:
        assert len(pdf.pages) > 3
    calendar = read_calendar(client.saves("Put the care of the roof", folder))
    assert calendar.name == "VCALENDAR"
    assert {event.name for event in calendar.parts} == {"VEVENT"}
    assert all("RRULE" in event.lines for event in calendar.parts)
    picture = client.page.locator(".chapter figure img").first.get_attribute("src")
    require_clean(client.page.request.get(f"{client.page.url}{picture}").body())


def problem_is_reported_and_answered(people: FourPeople, job: str) -> None:
    """With a photograph; the answer stands where it was reported."""
    client = people.client
    client.go("Report a problem")
    client.writes(STAIN, photo_with_place(34))
    client.sees("Nobody has taken it into the record or answered it yet.")
    people.isa.open("/desk")
    people.isa.sees(STAIN)
    people.isa.go("Report by the homeowner’s link")
    people.isa.sees(STAIN)
    people.isa.fill("Your answer", COMING)
    people.isa.save("Save it in the record")
    client.page.reload()
    expect(client.page.locator(".answer")).to_have_text(COMING)


def insurer_reads_asks_and_is_shut_out(
    people: FourPeople, site: ServedSite, job: str, folder: Path
) -> None:
    """Every entry in its order, an original byte for byte, a question with its answer."""
    insurer, olive = people.insurer, people.olive
    link = olive.makes_a_link(job, "The insurer", "Insurer or expert")
    insurer.opens(link)
    insurer.sees("It holds.")
    insurer.sees("It does not prove")
    insurer.go("The record in its order")
    record = job_as_it_is(site, people, job)
    assert numbers_read(people) == list(range(len(record.entries)))
    photo = record.photos[0]
    insurer.opens(f"{link}record/{photo.id}")
    insurer.sees(str(photo.body.sha256))
    original = insurer.saves("Save the original", folder)
    assert sha256(original).hexdigest() == photo.body.sha256
    insurer.opens(f"{link}questions")
    insurer.writes(QUESTION)
    olive.answers(job, "Question 2", REPLY)
    insurer.page.reload()
    insurer.sees(REPLY)
    said = [note.body.text for note in job_as_it_is(site, people, job).notes]
    assert [QUESTION in said[-2], REPLY in said[-1]] == [True, True]
    olive.ends_the_link(job, "The insurer")
    insurer.is_refused(link)
    insurer.is_refused(f"{link}record")


def numbers_read(people: FourPeople) -> list[int]:
    """The numbers of the entries as they stand on the pages of the record, in that order."""
    insurer, numbers = people.insurer, list[int]()
    while True:
        rows = insurer.page.locator(".record li").all_inner_texts()
        numbers += [int(found[1]) for row in rows if (found := re.search(r"No\. (\d+)", row))]
        if not insurer.page.get_by_role("link", name="On a page").count():
            return numbers
        insurer.go("On a page")


def job_as_it_is(site: ServedSite, people: FourPeople, job: str) -> Job:
    """The job as it stands in the ledger."""
    job_id = job.rpartition("/")[2]
    return read_any_job(site.installation, firm_id=people.firm_id, job_id=job_id).job
