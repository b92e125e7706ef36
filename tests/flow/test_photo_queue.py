"""Photographs on a phone: kept when they are picked, sent by themselves, once, whatever breaks."""

from __future__ import annotations

import io
import random
import re
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser, FilePayload, Page, Route, expect

from qa.record.kinds.papers import Photo
from qa.services.access import Role
from qa.services.reading import read_job
from tests.flow.browser import ACTING_AS, PHONE, ServedSite, open_page
from tests.flow.roof_visitor import RoofSite
from tests.house import jpeg

PIECE_BYTES = 256 * 1024
WAITING = "[data-photos-waiting]"
READY = "html[data-photo-queue]"
UPLOADS = re.compile(r"/uploads(/|$)")


@pytest.fixture
def job_id(roof: RoofSite) -> str:
    """A job with an area."""
    return roof.job_id


def _payload(shade: int = 1, *, large: bool = False) -> FilePayload:
    content = _large(shade) if large else jpeg(shade)
    return {"name": f"IMG_{shade}.jpg", "mimeType": "image/jpeg", "buffer": content}


def _large(shade: int) -> bytes:
    """A photograph of several pieces."""
    size_px = (900, 700)
    noise = random.Random(shade).randbytes(3 * size_px[0] * size_px[1])
    file = io.BytesIO()
    Image.frombytes("RGB", size_px, noise).save(file, "JPEG", quality=97)
    assert len(file.getvalue()) > 3 * PIECE_BYTES
    return file.getvalue()


def _open(site: ServedSite, page: Page, job_id: str, query: str = "?stage=deck") -> None:
    page.goto(f"{site.origin}/jobs/{job_id}/photos{query}")
    page.wait_for_selector(READY)


def _take(page: Page, *payloads: FilePayload) -> None:
    page.set_input_files("input[data-photo]", list(payloads))
    expect(page.locator("[data-photos-held] li")).to_have_count(len(payloads))


def _save(page: Page) -> None:
    page.locator("button.save").click()


def _photos(site: ServedSite, job_id: str) -> list[Photo]:
    job = read_job(site.installation, site.actor(Role.INSTALLER), job_id).job
    return [photo.body for photo in job.photos]


def _nothing_waits(page: Page) -> None:
    page.wait_for_selector("html[data-photo-queue=empty]")
    expect(page.locator(WAITING)).to_be_hidden()


def test_a_photo_arrives_by_itself_and_says_what_it_shows(
    site: ServedSite, phone: Page, job_id: str
) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    _take(phone, _payload())
    phone.locator("[name=caption]").fill("The deck before work")
    with phone.expect_navigation():
        _save(phone)
    phone.wait_for_selector(READY)
    _nothing_waits(phone)
    (photo,) = _photos(site, job_id)
    assert (photo.stage, photo.caption) == ("deck", "The deck before work")
    assert site.installation.originals.path(photo.sha256 or "").read_bytes() == jpeg(1)


def test_a_picked_photo_survives_a_reload(site: ServedSite, phone: Page, job_id: str) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    _take(phone, _payload(1), _payload(2))
    phone.reload()
    phone.wait_for_selector(READY)
    expect(phone.locator("[data-photos-held] li")).to_have_count(2)
    phone.get_by_role("button", name="Leave it out").first.click()
    expect(phone.locator("[data-photos-held] li")).to_have_count(1)
    with phone.expect_navigation():
        _save(phone)
    phone.wait_for_selector(READY)
    _nothing_waits(phone)
    assert len(_photos(site, job_id)) == 1


def test_a_photo_without_signal_waits_and_goes_when_there_is_one(
    site: ServedSite, phone: Page, job_id: str
) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    phone.context.set_offline(True)
    _take(phone, _payload())
    _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("1 photo waits on this phone")
    assert _photos(site, job_id) == []
    phone.context.set_offline(False)
    _nothing_waits(phone)
    assert len(_photos(site, job_id)) == 1


def test_an_upload_goes_on_where_the_link_broke(site: ServedSite, phone: Page, job_id: str) -> None:
    sent: list[int] = []

    def break_third(route: Route) -> None:
        if route.request.method == "PATCH":
            sent.append(len(route.request.post_data_buffer or b""))
            if len(sent) == 3:
                route.abort("connectionreset")
                return
        route.continue_()

    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    phone.route(UPLOADS, break_third)
    _take(phone, _payload(large=True))
    _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("1 photo waits")
    phone.get_by_role("button", name="Send now").click()
    _nothing_waits(phone)
    assert sum(sent) == len(_large(1)) + PIECE_BYTES
    assert len(_photos(site, job_id)) == 1


def test_a_sign_in_that_ended_keeps_every_photo(site: ServedSite, phone: Page, job_id: str) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    phone.context.clear_cookies(name=ACTING_AS)
    _take(phone, _payload(1), _payload(2))
    _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("Sign in again, 2 photos wait on this phone")
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    _nothing_waits(phone)
    assert len(_photos(site, job_id)) == 2


def test_a_photo_waits_for_whoever_took_it(site: ServedSite, phone: Page, job_id: str) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    phone.context.route(UPLOADS, lambda route: route.abort())
    _take(phone, _payload())
    _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("1 photo waits")
    site.sign_in(phone, Role.OFFICE)
    phone.context.unroute(UPLOADS)
    phone.goto(site.origin)
    expect(phone.locator(WAITING)).to_contain_text("for somebody else to sign in")
    assert _photos(site, job_id) == []


def test_two_tabs_send_a_photo_once(site: ServedSite, phone: Page, job_id: str) -> None:
    pieces: list[str] = []
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    phone.context.route(UPLOADS, lambda route: route.abort())
    _take(phone, _payload(large=True))
    _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("1 photo waits")
    other = phone.context.new_page()
    _open(site, other, job_id)
    phone.context.unroute(UPLOADS)
    for page in (phone, other):
        page.on("request", lambda request: pieces.append(request.method))
    for page in (phone, other):
        page.evaluate("window.dispatchEvent(new Event('online'))")
    for page in (phone, other):
        _nothing_waits(page)
    assert pieces.count("PATCH") == -(-len(_large(1)) // PIECE_BYTES)
    assert len(_photos(site, job_id)) == 1


def test_what_is_no_photo_is_told_and_left_out(site: ServedSite, phone: Page, job_id: str) -> None:
    site.sign_in(phone, Role.INSTALLER)
    _open(site, phone, job_id)
    _take(phone, {"name": "notes.jpg", "mimeType": "image/jpeg", "buffer": b"no photograph"})
    with phone.expect_navigation():
        _save(phone)
    phone.wait_for_selector(READY)
    expect(phone.locator(WAITING)).to_contain_text("A photo was not saved: notes.jpg")
    phone.get_by_role("button", name="Leave it out").click()
    _nothing_waits(phone)
    assert _photos(site, job_id) == []


def test_a_label_waits_until_its_batch_is_saved(site: ServedSite, phone: Page, job_id: str) -> None:
    site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{site.origin}/jobs/{job_id}/lots/new")
    phone.wait_for_selector(READY)
    _take(phone, _payload())
    with phone.expect_navigation():
        _save(phone)
    expect(phone.locator(WAITING)).to_contain_text("A photo waits: ")
    for name, value in {
        "product": "Roofing resin",
        "batch_number": "R 2231",
        "quantity": "20",
    }.items():
        phone.fill(f"[name={name}]", value)
    phone.select_option("[name=material]", "resin")
    phone.select_option("[name=unit]", "kg")
    with phone.expect_navigation():
        _save(phone)
    _nothing_waits(phone)
    assert [photo.lot for photo in _photos(site, job_id)] == ["R 2231"]


def test_without_the_queue_a_photo_travels_with_its_form(
    site: ServedSite, phone: Page, job_id: str
) -> None:
    # As on plain HTTP under a local name, where browsers have no WebCrypto.
    phone.add_init_script("Object.defineProperty(crypto, 'subtle', { value: undefined })")
    site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{site.origin}/jobs/{job_id}/photos?stage=deck")
    phone.set_input_files("input[data-photo]", [_payload()])
    with phone.expect_navigation():
        _save(phone)
    assert len(_photos(site, job_id)) == 1


def test_without_script_a_photo_travels_with_its_form(
    site: ServedSite, browser: Browser, job_id: str
) -> None:
    with open_page(browser, PHONE, script=False) as page:
        site.sign_in(page, Role.INSTALLER)
        page.goto(f"{site.origin}/jobs/{job_id}/photos?stage=deck")
        page.set_input_files("input[data-photo]", [_payload()])
        with page.expect_navigation():
            _save(page)
    assert len(_photos(site, job_id)) == 1


def test_a_form_is_saved_without_waiting_for_its_photo(
    site: ServedSite, phone: Page, job_id: str
) -> None:
    site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{site.origin}/jobs/{job_id}/stages/deck/checks/deck.dry")
    phone.wait_for_selector(READY)
    phone.context.route(UPLOADS, lambda route: route.abort())
    _take(phone, _payload())
    phone.get_by_label("Yes", exact=True).check()
    with phone.expect_navigation():
        _save(phone)
    assert _photos(site, job_id) == []
    phone.context.unroute(UPLOADS)
    _open(site, phone, job_id)
    _nothing_waits(phone)
    (photo,) = _photos(site, job_id)
    assert (photo.stage, photo.check) == ("deck", "deck.dry")


def test_the_scripts_are_small() -> None:
    folder = Path(__file__).parents[2] / "qa" / "static" / "site"
    assert sum(path.stat().st_size for path in folder.glob("photo*.js")) < 24_000
