"""A day's work in a browser that runs no script: everything but clocks, drawing and bar code."""

from __future__ import annotations

from playwright.sync_api import Browser, expect

from qa.services.access import Role
from qa.services.reading import ReadJob, read_job
from tests.accounts import acting, add_account, add_firm
from tests.flow.browser import PHONE, ServedSite, open_page
from tests.flow.walker import Walker


def test_day_of_work_needs_no_script(site: ServedSite, browser: Browser) -> None:
    firm_id = add_firm(site.installation, "Slope and Strip (invented)")
    add_account(site.installation, firm_id, "wren", Role.INSTALLER)
    with open_page(browser, PHONE, script=False) as page:
        wren = Walker(page, site.origin, scripted=False)
        wren.sign_in("wren@firm.example")
        job = start_and_draw(wren)
        register_batches(wren, job)
        answer_a_check(wren, job)
        dose_a_mix(wren, job)
        look_at_a_bay(wren, job)
        stop_for_rain(wren, job)
        sign_off(wren, job)
        put_right(wren, job)
    read = read_job(
        site.installation, acting(site.installation, firm_id, "wren"), job.rpartition("/")[2]
    )
    assert_all_is_recorded(read)


def start_and_draw(wren: Walker) -> str:
    wren.go("Start a job")
    wren.fill("What the job is", "Porch roof")
    wren.fill("Client’s name", "A. Client")
    wren.fill("Address of the roof", "1 Invented Lane")
    wren.save("Start, and draw the roof")
    wren.fill("Name of this area", "Main")
    wren.tick("An L")
    for label, typed in (
        ("Length of the first side", "2.4"),
        ("Width", "1,8"),
        ("Length of the missing corner", "1.2"),
        ("Width of the missing corner", "0.6"),
    ):
        wren.fill(label, typed)
    wren.tick("Far left")
    wren.save("Draw it")
    expect(wren.page.locator("#plan svg")).to_be_visible()
    wren.tick("Drip edge")
    wren.save("Save the area")
    wren.sees("3.6 m²")
    wren.go("To the job")
    return wren.path


def register_batches(wren: Walker, job: str) -> None:
    for shade, material in enumerate(("Resin", "Catalyst"), start=1):
        wren.open(f"{job}/lots/new")
        wren.photograph(shade)
        wren.choose("Material", material)
        wren.fill("Product", f"Roofing {material.lower()}")
        wren.fill("Batch number", f"B {shade}")
        wren.fill("Quantity", "5")
        wren.choose("Unit", "kg" if material == "Resin" else "litres")
        wren.save("Save the batch")


def answer_a_check(wren: Walker, job: str) -> None:
    """A figure outside its limits, then the photograph and the word about it."""
    wren.open(f"{job}/stages/deck/checks/deck.moisture")
    wren.fill("Moisture content", "22")
    wren.save("Save")
    wren.sees("Saved, and outside its limits")
    wren.photograph(3)
    wren.fill("What happened", "Sheeted over to dry")
    wren.save("Save")
    wren.open(f"{job}/photos?stage=deck")
    wren.photograph(4)
    wren.save("Save the photograph")
    expect(wren.page.locator(".photo-row img")).to_have_count(2)


def dose_a_mix(wren: Walker, job: str) -> None:
    """Three figures of the conditions; then the target, and what was really used."""
    wren.open(f"{job}/conditions?stage=laminate")
    wren.fill("Air", "16")
    wren.fill("Humidity", "60")
    wren.fill("Deck", "14")
    wren.save("Save")
    wren.sees("Lay")
    wren.open(f"{job}/mix?stage=laminate")
    wren.fill("Mass in the bucket", "2")
    wren.save("Show the target")
    expect(wren.page.locator("#target-ml")).to_contain_text("60")
    wren.fill("Catalyst really used", "60")
    wren.save("Save the mix")
    wren.save("Bucket empty")
    wren.sees("emptied")


def look_at_a_bay(wren: Walker, job: str) -> None:
    """A dry bay is asked about on a page of its own; after repair it is transparent."""
    wren.open(f"{job}/areas/main/bays/r1b1")
    wren.save("Dry")
    wren.sees("Dry: how large?")
    wren.fill("White or dry, in all", "40")
    wren.save("Save: dry")
    wren.open(f"{job}/areas/main/bays/r1b1")
    wren.save("Transparent")
    wren.sees("repaired, clear after")


def stop_for_rain(wren: Walker, job: str) -> None:
    wren.open(job)
    wren.save("Rain: stop")
    wren.tick("Covered with sheets")
    wren.save("Save the cover")
    wren.tick("Nothing got wet")
    wren.save("Dry again")


def sign_off(wren: Walker, job: str) -> None:
    wren.open(f"{job}/stages/survey/sign-off")
    wren.fill("What you sign", "Sound joists.")
    wren.save("Sign off as complete")
    wren.open(f"{job}/stages/survey")
    wren.sees("Sound joists.")


def put_right(wren: Walker, job: str) -> None:
    wren.open(f"{job}/record?kind=measurement")
    wren.go("Moisture content")
    wren.go("Put it right")
    wren.fill("Why", "Read the meter again")
    wren.fill("Value", "16")
    wren.save("Save the correction")
    expect(wren.page.locator("del").first).to_contain_text("22")


def assert_all_is_recorded(read: ReadJob) -> None:
    job = read.job
    assert [lot.body.material for lot in job.lots] == ["resin", "catalyst"]
    assert [photo.body.lot is not None for photo in job.photos] == [True, True, False, False]
    assert [one.body.value for one in job.measurements] == [16]
    assert [(mix.body.kg, mix.body.catalyst_ml) for mix in job.mixes] == [(2, 60)]
    assert job.mixes[0].body.emptied_at is not None
    assert [look.body.wet_out for look in job.examinations] == ["dry", "transparent"]
    assert job.interruptions[0].body.until is not None
    assert [signed.body.stage for signed in job.sign_offs] == ["survey"]
