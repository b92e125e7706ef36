"""Many photographs at once: dropped or picked, proposed by their times, placed by one touch."""

from __future__ import annotations

import base64
import io
import re
from datetime import datetime, timedelta
from html import unescape

import pytest
from playwright.sync_api import Browser, Page, expect
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.waiting_photos import waiting_in
from qa.store.waiting_photos import WaitingPhoto
from qa.web import clock
from tests.camera import shot
from tests.flow.browser import PHONE, open_page
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.house import jpeg

_DROP = """
([names, contents]) => {
  const data = new DataTransfer();
  contents.forEach((content, place) => {
    const bytes = Uint8Array.from(atob(content), (sign) => sign.charCodeAt(0));
    data.items.add(new File([bytes], names[place], {type: names[place].endsWith("txt") ? "text/plain" : "image/jpeg"}));
  });
  document.body.dispatchEvent(new DragEvent("drop", {dataTransfer: data, bubbles: true, cancelable: true}));
}
"""  # noqa: E501


@pytest.fixture
def roof(roof: RoofSite) -> RoofSite:
    """A job of which two bays were examined, two hours and one hour ago."""
    roof.add("examination", bay="r1b1", at=ago(120))
    roof.add("examination", bay="r2b2", at=ago(60))
    return roof


def ago(minutes: float) -> datetime:
    """So long before now."""
    return clock.now().replace(second=0, microsecond=0) - timedelta(minutes=minutes)


def taken(roof: RoofSite, minutes: float) -> datetime:
    """What a camera showed so long before now, by the site's clock."""
    return ago(minutes).astimezone(roof.read().job.time_zone)


def post(roof: RoofSite, part: str = "", **typed: object) -> TestResponse:
    """Sends a form of the page of photographs that wait."""
    where = f"{roof.job}/waiting-photos"
    page = roof.as_(Role.INSTALLER).open(where)
    found = [re.search(rf'name="{name}"[^>]* (?:value|content)="([^"]+)"', page.text)
             for name in ("csrf-token", "entry_id")]  # fmt: skip
    token, entry = (unescape(one[1]) for one in found if one)
    data = {"csrf_token": token, "entry_id": entry, **typed}
    return page.client.post(f"{where}{part}", data=data)


def bring(roof: RoofSite, *pictures: bytes) -> TestResponse:
    """Picks pictures without a script."""
    files = [(io.BytesIO(one), f"IMG_{place}.jpg") for place, one in enumerate(pictures)]
    return post(roof, photos=files)


def waiting(roof: RoofSite) -> tuple[WaitingPhoto, ...]:
    actor = roof.site.actor(Role.INSTALLER)
    return waiting_in(roof.site.installation, actor, roof.read(), now=clock.now()).photos


def shown(roof: RoofSite) -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{roof.job}/waiting-photos")


def test_pictures_are_proposed_in_order_and_placed_together(roof: RoofSite) -> None:
    visitor = roof.as_(Role.INSTALLER)
    page = visitor.follow(bring(roof, shot(1, taken(roof, 57)), shot(2, taken(roof, 118))))
    told = re.findall(r"<b>(Laminat[^<]*bay [^<]*)</b><small>([^<]*)<", page.text)
    assert [(shows.rpartition("bay ")[2], why.partition(";")[0]) for shows, why in told] == [
        ("r1b1", "2 min after bay r1b1 was examined"),
        ("r2b2", "3 min after bay r2b2 was examined"),
    ]
    assert "it does not say its zone" in page.text
    after = visitor.follow(page.send(do="place"))
    assert "2 in the record" in after.text
    photos = roof.read().job.photos
    assert sorted(photo.body.bay or "" for photo in photos) == ["r1b1", "r2b2"]
    assert sorted(photo.at for photo in photos) == [ago(118), ago(57)]
    assert page.send(do="place").status_code == 303
    assert len(roof.read().job.photos) == 2


def test_slow_clock_given_once_makes_the_proposals_anew(roof: RoofSite) -> None:
    bring(roof, shot(1, taken(roof, 118)), shot(2, taken(roof, 119)))
    answer = post(roof, "/clock", hours="1", minutes="", way="slow")
    assert answer.status_code == 303
    page = shown(roof)
    assert page.text.count("bay r2b2 was examined") == 2
    assert "Its clock reckoned 1 h slow." in page.text
    wrong = post(roof, "/clock", hours="x", way="slow")
    assert (wrong.status_code, "“x” is no figure" in wrong.text) == (400, True)


def test_photo_without_a_time_is_asked_about_and_then_placed(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).follow(bring(roof, shot(1, None)))
    assert "No time in the file" in page.text
    assert "place" not in page.fields
    (one,) = waiting(roof)
    form = roof.as_(Role.INSTALLER).open(f"{roof.job}/waiting-photos/{one.id}")
    at = taken(roof, 61)
    said = [f"{at:%Y-%m-%d}", f"{at:%H:%M}"]
    assert form.send(stage="laminate", bay="r9b9", taken=said).status_code == 400
    page = roof.as_(Role.INSTALLER).follow(form.send(stage="laminate", bay="r1b2", taken=said))
    assert "as somebody said here" in page.text
    page.send(do="place")
    (photo,) = roof.read().job.photos
    assert (photo.body.bay, photo.at) == ("r1b2", ago(61))


def test_one_time_is_given_to_all_without_one(roof: RoofSite) -> None:
    bring(roof, shot(1, None), shot(2, None), shot(3, taken(roof, 118)))
    at = taken(roof, 57)
    assert post(roof, "/times", taken=["", ""]).status_code == 400
    assert post(roof, "/times", taken=[f"{at:%Y-%m-%d}", f"{at:%H:%M}"]).status_code == 303
    page = shown(roof)
    assert page.text.count("bay r2b2 was examined") == 2
    assert "Note this time" not in page.text


def test_what_is_no_picture_is_told_and_the_others_arrive(roof: RoofSite) -> None:
    answer = bring(roof, shot(1, taken(roof, 57)), b"not a picture", shot(1, taken(roof, 57)))
    assert answer.status_code == 400
    assert "IMG_1.jpg" in answer.text
    assert len(waiting(roof)) == 1
    assert bring(roof).status_code == 400


def test_what_the_record_shows_already_is_told_and_left_out(roof: RoofSite) -> None:
    bring(roof, shot(1, taken(roof, 57)))
    shown(roof).send(do="place")
    page = roof.as_(Role.INSTALLER).follow(bring(roof, shot(1, taken(roof, 57))))
    assert "In the record already" in page.text
    assert "place" not in page.fields
    (one,) = waiting(roof)
    post(roof, "/place", do="leave", leave=one.id)
    assert waiting(roof) == ()


def test_tick_that_says_nothing_places_nothing(roof: RoofSite) -> None:
    bring(roof, shot(1, taken(roof, 57)))
    (one,) = waiting(roof)
    for tick in ("", "x", f"{one.id} {{}}", f'{one.id} {{"stage":"roof"}}'):
        assert post(roof, "/place", do="place", place=tick).status_code == 400, tick
    stale = f'{one.id} {{"stage":"deck","area":"gone"}}'
    answer = post(roof, "/place", do="place", place=stale)
    assert (answer.status_code, len(waiting(roof))) == (400, 1)
    assert roof.read().job.photos == ()


def test_dropped_pictures_arrive_by_themselves_and_are_saved(roof: RoofSite, desk: Page) -> None:
    roof.site.sign_in(desk, Role.SUPERVISOR)
    desk.goto(f"{roof.site.origin}{roof.job}/waiting-photos")
    desk.wait_for_selector("form[data-ready]")
    pictures = [shot(number, taken(roof, 57 - number)) for number in range(3)]
    names = ["a.jpg", "b.jpg", "c.jpg", "again.jpg", "notes.txt"]
    contents = [*pictures, pictures[0], b"words"]
    desk.evaluate(_DROP, [names, [base64.b64encode(one).decode() for one in contents]])
    expect(desk.get_by_role("heading", name="3 photos, each with a proposal")).to_be_visible()
    expect(desk.locator("main")).to_contain_text("1 of them are no pictures and were left.")
    expect(desk.locator("main")).to_contain_text("1 photo came twice, or stand here already.")
    assert shortcomings(desk) == []
    desk.get_by_role("button", name="Save the ticked").click()
    expect(desk.locator("main")).to_contain_text("3 in the record")
    photos = roof.read().job.photos
    assert {photo.body.bay for photo in photos} == {"r2b2"}
    assert {photo.by for photo in photos} == {roof.site.actor(Role.SUPERVISOR).key}


def test_pages_fall_short_of_nothing_on_a_phone(roof: RoofSite, browser: Browser) -> None:
    bring(roof, shot(1, taken(roof, 57)), shot(2, None), jpeg(3))
    with open_page(browser, PHONE, dark=True) as phone:
        roof.site.sign_in(phone, Role.INSTALLER)
        for path in ("", f"/{waiting(roof)[0].id}"):
            phone.goto(f"{roof.site.origin}{roof.job}/waiting-photos{path}")
            assert shortcomings(phone) == [], path
