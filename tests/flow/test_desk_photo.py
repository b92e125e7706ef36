"""Photographs looked at closely: side by side, zoomed by button and key, with what they say."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from qa.record.kinds.papers import Photo
from qa.services.access import Role
from qa.services.reading import ReadJob, read_job
from tests.flow.browser import ServedSite
from tests.flow.measuring import broken_colours, faint_text, lost, lost_by_change, shortcomings
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos

WIDE = "e => e.getBoundingClientRect().width"


@pytest.fixture
def demo(site: ServedSite, tmp_path: Path) -> ReadJob:
    with clock_at(MORNING):
        job = put_job_of_small_photos(site, tmp_path, until=None)
        return read_job(site.installation, site.actor(Role.OWNER), job)


def of_a_bay(read: ReadJob) -> list[Photo]:
    """Photographs of the bay that was repaired."""
    photos = [one.body for one in read.job.photos]
    bay = next(one for one in photos if one.bay and one.nonconformity)
    return [one for one in photos if (one.area, one.bay) == (bay.area, bay.bay)]


def test_two_of_a_bay_stand_side_by_side_and_zoom_alike(
    site: ServedSite, demo: ReadJob, desk: Page
) -> None:
    first, second, *_ = of_a_bay(demo)
    site.sign_in(desk, Role.SUPERVISOR)
    desk.goto(f"{site.origin}/desk/jobs/{demo.id}/photos/{first.sha256}")
    desk.locator(f'.photo-row a[href*="{second.sha256}"]').click()
    images = desk.locator(".pane img")
    expect(images).to_have_count(2)
    whole = float(images.nth(0).evaluate(WIDE))
    desk.keyboard.press("+")
    desk.get_by_role("button", name="Larger").click()
    expect(desk.locator("[data-zoom-told]")).to_have_text("400 %")
    for number in range(2):
        assert float(images.nth(number).evaluate(WIDE)) == pytest.approx(4 * whole, abs=4)
    pane = desk.locator("[data-pane]").nth(1)
    before = float(pane.evaluate("e => e.scrollLeft"))
    desk.keyboard.press("ArrowRight")
    assert float(pane.evaluate("e => e.scrollLeft")) > before
    desk.keyboard.press("-")
    expect(desk.locator("[data-zoom-told]")).to_have_text("200 %")
    desk.keyboard.press("Escape")
    assert float(images.nth(0).evaluate(WIDE)) == pytest.approx(whole, abs=1)


def test_it_falls_short_of_nothing_alone_and_beside_another(
    site: ServedSite, demo: ReadJob, phone: Page, desk: Page
) -> None:
    first, second, *_ = of_a_bay(demo)
    address = f"{site.origin}/desk/jobs/{demo.id}/photos/{first.sha256}"
    for page in (phone, desk):
        site.sign_in(page, Role.OFFICE)
        for path in (address, f"{address}?beside={second.sha256}"):
            page.emulate_media(color_scheme="light")
            page.goto(path)
            assert shortcomings(page) == []
            assert lost(page) == []
            page.emulate_media(color_scheme="dark")
            assert [*faint_text(page), *broken_colours(page)] == []
    assert list(lost_by_change(phone)) == []


def test_it_says_times_digest_and_what_it_proves(site: ServedSite, demo: ReadJob) -> None:
    first = of_a_bay(demo)[0]
    client = site.app.test_client()
    client.set_cookie("acting-as", site.marks[Role.SUPERVISOR])
    page = client.get(f"/desk/jobs/{demo.id}/photos/{first.sha256}").text
    for words in (str(first.sha256), "Claimed", "By the camera", "Received", "put right",
                  f"/photos/{first.sha256}/original"):  # fmt: skip
        assert words in page


@pytest.mark.parametrize("strange", ["0" * 64, "<script>", "%00", "a" * 3000])
def test_photo_that_the_job_does_not_show_is_not_found(
    site: ServedSite, demo: ReadJob, strange: str
) -> None:
    client = site.app.test_client()
    client.set_cookie("acting-as", site.marks[Role.OFFICE])
    known = of_a_bay(demo)[0].sha256
    for path in (strange, f"{known}?beside={strange}"):
        assert client.get(f"/desk/jobs/{demo.id}/photos/{path}").status_code == 404
