"""The homeowner's side: the pack as a page and a PDF, clean photographs, care, reports."""

from __future__ import annotations

import io
from datetime import date, timedelta

import pytest
from PIL import Image

from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.linking import Face
from qa.services.messages import messages_of
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.web import clock
from tests.flow.link_holder import CAMERA, Holder, add_photo, holder, photo_with_place
from tests.flow.roof_visitor import RoofSite

MARKUP = "</p><script>alert(1)</script><img src=x onerror=alert(1)>{{ 7*7 }}"
ESCAPED = "&lt;script&gt;alert(1)"


@pytest.fixture
def owner(roof: RoofSite) -> Holder:
    return holder(roof, Face.HOMEOWNER)


def require_clean(jpeg: bytes) -> None:
    """Fails where a picture holds anything but itself."""
    with Image.open(io.BytesIO(jpeg)) as image:
        assert image.format == "JPEG"
        assert not dict(image.getexif())
        assert not {"exif", "icc_profile", "comment", "xmp"} & image.info.keys()
    assert b"GPS" not in jpeg
    assert b"Exif" not in jpeg
    assert CAMERA.encode() not in jpeg


def test_page_tells_what_the_pack_tells(roof: RoofSite, owner: Holder) -> None:
    page = owner.open()
    assert page.status == 200
    for told in ("A. Client", "1 Invented Lane", "What was outside its limits", "Every spring"):
        assert told in page.text
    assert roof.read().job.head[:8] in page.text
    assert "pack:photo" not in page.text


def test_pdf_is_the_newest_pack_or_said_to_be_missing(roof: RoofSite, owner: Holder) -> None:
    assert "has not made the PDF" in owner.open().text
    assert owner.fetch("pack.pdf")[0] == 404
    house, actor = roof.site.installation, roof.site.actor(Role.OFFICE)
    for kind in (PackKind.HANDOVER, PackKind.WARRANTY):
        ask_for_pack(house, actor, roof.job_id, kind, now=clock.now())
    work_all(house, now=clock.now())
    with owner.visitor.client.get(f"{owner.path}pack.pdf") as answer:
        assert answer.data.startswith(b"%PDF-")
        assert "handover-1.pdf" in answer.headers["Content-Disposition"]
    assert "the record has grown since" not in owner.open().text
    roof.add("note")
    assert "the record has grown since" in owner.open().text


@pytest.mark.parametrize("size", ["list", "print", "screen"])
def test_photograph_holds_nothing_but_the_picture(roof: RoofSite, owner: Holder, size: str) -> None:
    content = photo_with_place()
    assert b"Exif" in content
    digest = add_photo(roof, content)
    status, jpeg = owner.fetch(f"photos/{digest}/{size}")
    assert status == 200
    require_clean(jpeg)


@pytest.mark.parametrize("size", ["original", "Print", "..", "0"])
def test_original_is_never_sent(roof: RoofSite, owner: Holder, size: str) -> None:
    digest = add_photo(roof, photo_with_place())
    assert owner.fetch(f"photos/{digest}/{size}")[0] == 404


def test_photographs_of_the_page_are_there_and_clean(roof: RoofSite, owner: Holder) -> None:
    digest = add_photo(roof, photo_with_place(), stage="deck", caption="The boards")
    assert f'src="photos/{digest}/print"' in owner.open().text
    require_clean(owner.fetch(f"photos/{digest}/print")[1])


def test_markup_is_shown_as_it_was_typed(roof: RoofSite, owner: Holder) -> None:
    roof.add("note", text=MARKUP)
    roof.add("inspection", role=Role.SUPERVISOR, finding=MARKUP, defect=True)
    roof.add("nonconformity", description=MARKUP)
    add_photo(roof, photo_with_place(), stage="deck", caption=MARKUP)
    owner.open("report").send(text=MARKUP)
    for below in ("", "inspections", "report"):
        text = owner.open(below).text
        assert ESCAPED in text
        assert "<script" not in text
        assert "onerror=alert(1)>" not in text
        assert "49" not in text or "{{ 7*7 }}" in text


def test_report_with_a_photograph_reaches_record_and_back(roof: RoofSite, owner: Holder) -> None:
    sent = owner.open("report").send(
        text="A stain.", photo=(io.BytesIO(photo_with_place(9)), "my garden.jpg")
    )
    assert sent.status_code == 303
    page = owner.open("report")
    assert "It is with the firm" in page.text
    (message,) = messages_of(roof.site.installation, roof.site.actor(Role.OFFICE), roof.read())
    require_clean(owner.fetch(f"report/{message.id}/photo")[1])
    firm = roof.as_(Role.SUPERVISOR)
    assert "Not in the record yet" in firm.open(f"{roof.job}/messages").text
    answered = firm.open(f"{roof.job}/messages/{message.id}").send(answer="Monday.")
    assert answered.status_code == 303
    assert "Monday." in owner.open("report").text
    assert "Answered" in firm.open(f"{roof.job}/messages").text
    assert len(roof.read().job.photos) == 1
    with firm.client.get(f"{roof.job}/messages/{message.id}/photo") as picture:
        require_clean(picture.data)


@pytest.mark.parametrize(
    ("text", "photo"),
    [("", None), (" \n", None), ("x" * 4001, None), ("a", b"<svg onload='x'/>"), ("a\x00", None)],
)
def test_report_that_cannot_be_taken_is_kept_as_typed(
    owner: Holder, text: str, photo: bytes | None
) -> None:
    sent = owner.open("report").send(
        text=text, photo=(io.BytesIO(photo), "1.jpg") if photo else None
    )
    assert sent.status_code == 400
    assert "Not sent yet" in sent.text
    assert "Nothing yet." in owner.open("report").text


def test_other_link_shows_no_report_of_this(roof: RoofSite, owner: Holder) -> None:
    owner.open("report").send(text="A stain.", photo=(io.BytesIO(photo_with_place(9)), "1.jpg"))
    (message,) = messages_of(roof.site.installation, roof.site.actor(Role.OFFICE), roof.read())
    other = holder(roof, Face.HOMEOWNER)
    assert "A stain." not in other.open("report").text
    assert other.fetch(f"report/{message.id}/photo")[0] == 404


def test_looks_stand_in_their_years(roof: RoofSite, owner: Holder) -> None:
    now = clock.now()
    roof.add("handover", role=Role.OFFICE, at=now - timedelta(days=800))
    roof.add("inspection", at=now - timedelta(days=100), finding="Gutters clear.")
    text = owner.open("inspections").text
    second, first = text.index("Year 2"), text.index("Year 1")
    assert text.index("Year 3") < second < text.index("Gutters clear.") < first
    assert text.count("Nobody has looked yet.") == 1
    assert text.count("No look at the roof is recorded.") == 1


def test_calendar_holds_care_and_looks_that_are_due(roof: RoofSite, owner: Holder) -> None:
    due = date(2031, 3, 1)
    roof.add("inspection", finding="Good, so far", next_due=due.isoformat())
    with owner.visitor.client.get(f"{owner.path}care.ics") as answer:
        assert answer.mimetype == "text/calendar"
        text = answer.text
    assert "DTSTART;VALUE=DATE:20310301" in text
    assert text.count("RRULE:FREQ=YEARLY;UNTIL=") == 2
    assert "Good\\, so far" in text.replace("\r\n ", "")
