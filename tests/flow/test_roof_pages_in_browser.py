"""The pages of checks, photographs, batches, rain, signing and papers in a real browser."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Request, expect

from qa.services.access import Role
from qa.services.originals import hand_in
from qa.web import clock
from qa.web.roof.interruption_forms import NO_COVER_YET
from tests.flow.browser import PHONE, open_page
from tests.flow.measuring import shortcomings_in_all_lights
from tests.flow.roof_visitor import RoofSite
from tests.house import jpeg

GTIN = "09501101530003"
READY = "html[data-photo-queue]"
READER = """
window.BarcodeDetector = class {
  static async getSupportedFormats() { return ["code_128", "ean_13"]; }
  async detect() { return [{ rawValue: "short" }, { rawValue: %s }]; }
};
"""


@pytest.fixture
def full_roof(roof: RoofSite) -> RoofSite:
    """A job in which every page has something to show."""
    roof.add("instrument", measures="moisture content, %")
    roof.add("lot")
    roof.add("lot", lot="catalyst-1", material="catalyst", product="Catalyst", use_by="2024-03-01")
    roof.add("measurement", value=22.0, area="main")
    roof.add("observation")
    roof.add("mix", bays=["r1b1", "r1b2"])
    roof.add("usage", used=12.5, wasted=0.5)
    original = hand_in(
        roof.site.installation,
        roof.site.actor(Role.INSTALLER),
        io.BytesIO(jpeg(1, size_px=(800, 600))),
        name="a.jpg",
        now=clock.now(),
    )
    roof.add(
        "photo", file=..., stage="deck", check="deck.moisture", area="main",
        original=original.sha256,
    )  # fmt: skip
    roof.add("nonconformity", stage="deck", check="deck.moisture", area="main")
    roof.add("nonconformity", number=2, stage="deck", check="deck.dry")
    roof.add("disposition", role=Role.SUPERVISOR)
    roof.add("measurement", value=15.5, area="main")
    roof.add("sign_off")
    roof.add("interruption", protection=NO_COVER_YET, from_=clock.now().isoformat())
    return roof


def pages_of(roof: RoofSite) -> Iterator[tuple[Role, str]]:
    """Every page of these subjects, and who opens it."""
    job = roof.read().job
    for where in (
        "/stages/deck/checks", "/stages/deck/checks/deck.moisture",
        "/stages/trims/checks/trims.battens", "/stages/topcoat/checks/topcoat.sanded",
        f"/record/{job.measurements[0].id}/outside", "/photos?stage=deck", "/lots", "/lots/new",
        "/instruments", "/instruments/new", "/instruments/earlier", "/usage", "/interruptions",
        f"/interruptions/{job.interruptions[0].id}", "/findings", "/nonconformities/new",
        "/nonconformities/1", "/stages/deck/sign-off", "/notes/new",
    ):  # fmt: skip
        yield Role.INSTALLER, where
    for where in ("/stages/deck/release", "/nonconformities/2"):
        yield Role.SUPERVISOR, where
    for where in ("/handover", "/inspections/new", "/erasures/new"):
        yield Role.OFFICE, where


def test_pages_fall_short_of_nothing(full_roof: RoofSite, phone: Page) -> None:
    found = []
    for role, where in pages_of(full_roof):
        phone.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
        full_roof.site.sign_in(phone, role)
        answer = phone.goto(full_roof.site.origin + full_roof.job + where)
        assert answer is not None
        assert answer.status == 200, where
        found += [f"{where}: {fault}" for fault in shortcomings_in_all_lights(phone)]
    assert found == []


def test_page_is_light_over_the_wire(full_roof: RoofSite, phone: Page) -> None:
    full_roof.site.sign_in(phone, Role.INSTALLER)
    asked: list[Request] = []

    def note(request: Request) -> None:
        asked.append(request)

    phone.on("requestfinished", note)
    phone.goto(f"{full_roof.site.origin}{full_roof.job}/stages/deck/checks/deck.moisture")
    phone.wait_for_load_state("networkidle")
    assert sum(request.sizes()["responseBodySize"] for request in asked) < 60_000


def _picture(folder: Path, shade: int = 1) -> Path:
    path = folder / f"{shade}.jpg"
    path.write_bytes(jpeg(shade, size_px=(400, 300)))
    return path


def test_photograph_is_saved_without_script(
    roof: RoofSite, browser: Browser, tmp_path: Path
) -> None:
    with open_page(browser, PHONE, script=False) as page:
        roof.site.sign_in(page, Role.INSTALLER)
        page.goto(f"{roof.site.origin}{roof.job}/photos?stage=deck")
        page.set_input_files("#photos", _picture(tmp_path))
        page.get_by_role("button", name="Save the photograph").click()
        expect(page.locator(".said").first).to_contain_text("Saved")
        expect(page.locator(".photo-row img")).to_have_count(1)
        page.wait_for_load_state("networkidle")
    assert roof.read().job.photos[-1].body.check == "deck.fixing_centres"


def test_photograph_is_saved_with_script_and_never_waited_for(
    roof: RoofSite, phone: Page, tmp_path: Path
) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/photos?stage=deck")
    phone.wait_for_selector(READY)
    phone.set_input_files("#photos", _picture(tmp_path, 2))
    expect(phone.get_by_alt_text("The photograph that you took")).to_be_visible()
    phone.get_by_label("In a few words").fill("Tape at 200")
    phone.get_by_role("button", name="Save the photograph").click()
    expect(phone.locator(".photo-row img")).to_have_count(1)
    phone.wait_for_load_state("networkidle")
    photo = roof.read().job.photos[-1].body
    assert (photo.check, photo.caption) == ("deck.fixing_centres", "Tape at 200")


def test_check_is_saved_while_its_photograph_follows(
    roof: RoofSite, phone: Page, tmp_path: Path
) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/stages/trims/checks/trims.battens")
    phone.wait_for_selector(READY)
    phone.get_by_text("Drip edge eaves, 6 m").first.click()
    phone.get_by_label("Battens behind the edge").fill("2")
    phone.set_input_files("#photos", _picture(tmp_path, 3))
    expect(phone.get_by_alt_text("The photograph that you took")).to_be_visible()
    phone.get_by_role("button", name="Save").click()
    phone.wait_for_url(re.compile("/stages/trims/checks$"))
    measured = roof.read().job.measurements[-1].body
    assert (measured.edge, measured.value) == ("eaves", 2)
    phone.goto(f"{roof.site.origin}{roof.job}/photos?stage=trims")
    phone.wait_for_selector("html[data-photo-queue=empty]")
    photo = roof.read().job.photos[-1].body
    assert (photo.check, photo.area, photo.edge) == ("trims.battens", "main", "eaves")


def test_photograph_at_closing_travels_with_its_form(
    full_roof: RoofSite, phone: Page, tmp_path: Path
) -> None:
    full_roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{full_roof.site.origin}{full_roof.job}/nonconformities/1")
    phone.wait_for_selector(READY)
    phone.get_by_label("How it was put right").fill("Dried under cover.")
    phone.set_input_files("#photos", _picture(tmp_path, 6))
    phone.get_by_role("button", name="Close it").click()
    expect(phone.locator(".standfirst")).to_contain_text("put right")
    closure = full_roof.read().job.closures[-1].body
    assert closure.entries is not None
    assert closure.entries[-1] == full_roof.read().job.photos[-1].id


def test_camera_is_asked_for_the_picture_before_the_user(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/photos")
    camera = phone.locator("#photos")
    assert camera.get_attribute("capture") == "environment"
    with phone.expect_file_chooser():
        phone.get_by_text("Open the camera").click()


def test_bar_code_fills_what_is_empty(roof: RoofSite, phone: Page, tmp_path: Path) -> None:
    code = f'"]C101{GTIN}172706303103025000\\u001d10R 2231"'
    phone.add_init_script(READER % code)
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/lots/new")
    phone.get_by_label("Quantity").fill("20")
    phone.set_input_files("#photos", _picture(tmp_path, 4))
    expect(phone.locator("#bar-code")).to_contain_text("Read from the bar code: Batch number")
    expect(phone.get_by_label("Batch number")).to_have_value("R 2231")
    expect(phone.get_by_label("Use by")).to_have_value("2027-06-30")
    expect(phone.get_by_label("Quantity")).to_have_value("20")
    expect(phone.locator("#unit")).to_have_value("kg")


def test_label_without_a_bar_code_is_typed(roof: RoofSite, phone: Page, tmp_path: Path) -> None:
    phone.add_init_script((READER % '""').replace('{ rawValue: "short" }, ', ""))
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/lots/new")
    phone.set_input_files("#photos", _picture(tmp_path, 5))
    expect(phone.locator("#bar-code")).to_contain_text("Type what the label says")


def test_rain_is_one_touch_from_the_jobs_page(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}")
    phone.locator(".bar").get_by_role("button", name=re.compile("Rain|Stop")).click()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Stopped for rain")
    assert len(roof.read().job.interruptions) == 1
