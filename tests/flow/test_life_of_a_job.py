"""The whole life of a job in the browsers of four people: from the invitation to the folder.

Nothing is put into the database but a firm and its owner; all else is touched and typed.
"""

from __future__ import annotations

import json
import zipfile
from collections import Counter
from pathlib import Path

from playwright.sync_api import Browser, expect

from qa.services.delivery import work_all
from qa.web import clock
from tests.flow.browser import DESK, PHONE, ServedSite
from tests.flow.crew import Crew, crew_at, invite_everybody, join
from tests.flow.walker import Walker


def test_job_lives_on_phones_from_invitation_to_folder(
    site: ServedSite, browser: Browser, tmp_path: Path
) -> None:
    with crew_at(site, browser, PHONE) as crew:
        invite_everybody(crew)
        job = start_the_job(crew.wren)
        join(crew.abe)
        survey_the_roof(crew.wren, job)
        lay_the_deck(crew, job)
        fix_the_trims(crew.abe, job)
        bring_what_is_laid(crew.abe, job)
        lay_the_bandage(crew, job)
        laminate(crew, job)
        stop_for_rain(crew.abe, job)
        put_a_bay_right(crew, job)
        sign_off(crew.abe, job, "laminate")
        release(crew.isa, job, "laminate")
        put_an_entry_right(crew.wren, job)
        have_a_pack_made(site, crew.olive, job, tmp_path)
        kinds = take_the_folder_out(crew.olive, job, tmp_path)
    assert kinds == {
        "job": 1, "area": 1, "measurement": 4, "observation": 1, "photo": 5, "note": 2, "lot": 2,
        "instrument": 1, "usage": 1, "conditions": 2, "mix": 2, "examination": 3,
        "interruption": 1, "nonconformity": 1, "disposition": 1, "closure": 1, "sign_off": 8,
        "correction": 5,
    }  # fmt: skip


def test_job_is_laminated_on_desks_too(site: ServedSite, browser: Browser, tmp_path: Path) -> None:
    with crew_at(site, browser, DESK) as crew:
        invite_everybody(crew)
        job = start_the_job(crew.wren)
        join(crew.abe)
        bring_what_is_laid(crew.abe, job)
        laminate(crew, job)
        put_a_bay_right(crew, job)
        sign_off(crew.abe, job, "laminate")
        release(crew.isa, job, "laminate")
        kinds = take_the_folder_out(crew.olive, job, tmp_path)
    assert kinds["closure"] == 1
    assert kinds["sign_off"] == 2


def start_the_job(wren: Walker) -> str:
    """An installer opens the job, draws its roof, and answers the job's address."""
    wren.go("Start a job")
    wren.fill("What the job is", "Porch roof")
    wren.fill("Client’s name", "A. Client")
    wren.fill("Address of the roof", "1 Invented Lane")
    wren.save("Start, and draw the roof")
    wren.fill("Name of this area", "Main")
    wren.fill("Length of the first side", "2,4")
    wren.fill("Width", "1.2")
    expect(wren.page.locator("#plan svg")).to_be_visible()
    wren.tick("Drip edge")
    wren.save("Save the area")
    wren.sees("2.88 m²")
    wren.go("To the job")
    return wren.path


def survey_the_roof(wren: Walker, job: str) -> None:
    """Checks are answered from what the stage still asks for; a photograph goes by itself."""
    wren.go("Spacing of the joists")
    wren.fill("Spacing of the joists", "400")
    wren.save("Save")
    wren.open(job)
    wren.go("Photo: the joists, open")
    wren.photograph(1)
    wren.save("Save the photograph")
    wren.all_photos_are_sent()
    sign_off(wren, job, "survey")


def lay_the_deck(crew: Crew, job: str) -> None:
    """A reading outside its limits is saved, shown and explained; a later one puts it right."""
    crew.wren.open(f"{job}/stages/deck/checks")
    crew.wren.go("Deck surface dry")
    crew.wren.tick("Yes")
    crew.wren.save("Save")
    crew.wren.go("Moisture content of the deck boards")
    crew.wren.fill("Moisture content", "22")
    crew.wren.save("Save")
    crew.wren.sees("Saved, and outside its limits")
    crew.wren.photograph(2)
    crew.wren.fill("What happened", "Sheeted over to dry")
    crew.wren.save("Save")
    crew.abe.open(f"{job}/stages/deck/checks/deck.moisture")
    crew.abe.go("Check it again")
    crew.abe.fill("Moisture content", "15")
    crew.abe.save("Save")
    crew.abe.sees("put right")
    sign_off(crew.wren, job, "deck")
    release(crew.isa, job, "deck")


def fix_the_trims(abe: Walker, job: str) -> None:
    """One touch answers for all edges of a kind."""
    abe.open(f"{job}/stages/trims/checks/trims.battens")
    abe.tick("All 4 drip edges")
    abe.fill("Battens behind the edge", "2")
    abe.save("Save")
    sign_off(abe, job, "trims")


def bring_what_is_laid(abe: Walker, job: str) -> None:
    """Batches with their labels photographed, and an instrument."""
    for shade, (material, number, quantity, unit) in enumerate(
        (("Resin", "R 2231", "20", "kg"), ("Catalyst", "C 88", "1", "litres")), start=10
    ):
        abe.open(f"{job}/lots/new")
        abe.photograph(shade)
        abe.choose("Material", material)
        abe.fill("Product", f"Roofing {material.lower()}")
        abe.fill("Batch number", number)
        abe.fill("Use by", "2040-06-30")
        abe.fill("Quantity", quantity)
        abe.choose("Unit", unit)
        abe.save("Save the batch")
    abe.open(f"{job}/instruments/new")
    abe.fill("Name", "Hygrometer")
    abe.fill("What it measures", "air temperature and humidity")
    abe.save("Save the instrument")


def lay_the_bandage(crew: Crew, job: str) -> None:
    """Conditions, a mix that is outside its dose, and the word about it."""
    read_the_conditions(crew.abe, job, "bandage")
    make_a_mix(crew.abe, job, "bandage", kg="1", ml="60")
    crew.abe.sees("outside limits")
    crew.abe.go("Photograph it and say a word")
    crew.abe.fill("What happened", "Poured twice; not used")
    crew.abe.save("Save")
    sign_off(crew.abe, job, "bandage")
    release(crew.isa, job, "bandage")


def read_the_conditions(walker: Walker, job: str, stage: str) -> None:
    walker.open(f"{job}/stages/{stage}")
    walker.go("Conditions")
    walker.fill("Air", "16")
    walker.fill("Humidity", "60")
    walker.fill("Deck", "14")
    walker.save("Save")
    walker.sees("Lay")


def make_a_mix(walker: Walker, job: str, stage: str, *, kg: str, ml: str) -> None:
    walker.open(f"{job}/mix?stage={stage}")
    walker.fill("Mass in the bucket", kg)
    walker.fill("Catalyst really used", ml)
    walker.save("Save the mix")


def laminate(crew: Crew, job: str) -> None:
    """Two installers at once: one mixes, the other looks at the bays."""
    read_the_conditions(crew.wren, job, "laminate")
    make_a_mix(crew.wren, job, "laminate", kg="3", ml="90")
    crew.wren.save("Bucket empty")
    crew.wren.sees("emptied")
    look_at(crew.abe, job, "r1b1", "Transparent")
    crew.wren.open(f"{job}/usage")
    crew.wren.tick("Roofing resin")
    crew.wren.fill("Used", "3")
    crew.wren.save("Save")


def look_at(walker: Walker, job: str, bay: str, seen: str) -> None:
    walker.open(f"{job}/areas/main/bays/{bay}")
    walker.save(seen)


def stop_for_rain(abe: Walker, job: str) -> None:
    """One touch stops the work; the cover and what became of it follow."""
    abe.open(job)
    abe.save("Rain: stop")
    abe.sees("Stopped for rain")
    abe.tick("Covered with sheets")
    abe.save("Save the cover")
    abe.sees("Dry again?")
    abe.tick("Nothing got wet")
    abe.save("Dry again")
    abe.open(job)
    expect(abe.page.locator("main")).not_to_contain_text("Stopped for rain since")


def put_a_bay_right(crew: Crew, job: str) -> None:
    """A dry bay is raised, sent back by the supervisor, laid again, looked at again and closed."""
    bay = f"{job}/areas/main/bays/r1b2"
    crew.wren.open(bay)
    crew.wren.touch("Dry")
    crew.wren.photograph(20)
    crew.wren.fill("A word about it", "Roller ran dry")
    crew.wren.save("Save: dry")
    crew.wren.open(f"{job}/stages/laminate")
    crew.wren.go("Opaque or white area")
    crew.wren.sees("outside its limits")
    crew.wren.save("Raise a nonconformity")
    crew.wren.save("Raise it")
    crew.wren.all_photos_are_sent()
    case = crew.wren.path
    crew.isa.open(case)
    crew.isa.tick("Rework")
    crew.isa.fill("Reason", "Wet it out before it gels")
    crew.isa.save("Save the decision")
    look_at(crew.abe, job, "r1b2", "Transparent")
    crew.abe.open(case)
    crew.abe.fill("How it was put right", "Wetted out and rolled again")
    again = crew.abe.page.locator("label.target", has_text="Bay examined: transparent")
    expect(again.locator("input")).to_be_checked()
    crew.abe.save("Close it")
    crew.isa.open(case)
    crew.isa.sees("Wetted out and rolled again")
    crew.isa.sees(": put right")


def sign_off(walker: Walker, job: str, stage: str) -> None:
    """An installer signs a stage, and sees the signature."""
    walker.open(f"{job}/stages/{stage}")
    walker.go("The installer’s sign-off")
    walker.fill("What you sign", f"{stage.title()} as recorded.")
    walker.save("Sign off as complete")
    walker.open(f"{job}/stages/{stage}")
    walker.sees(f"{stage.title()} as recorded.")


def release(isa: Walker, job: str, stage: str) -> None:
    """The supervisor releases a hold point."""
    isa.open(f"{job}/stages/{stage}")
    isa.go("Release by a supervisor")
    isa.tick("Release")
    isa.fill("What you sign", f"{stage.title()} seen.")
    isa.save("Sign the decision")
    isa.sees(f"{stage.title()} seen.")


def put_an_entry_right(wren: Walker, job: str) -> None:
    """A figure typed wrongly is corrected with a reason, and the old one stays readable."""
    wren.open(f"{job}/record?kind=measurement&order=first")
    wren.go("Spacing of the joists")
    wren.go("Put it right")
    wren.fill("Why", "Read the tape again")
    wren.fill("Value", "410")
    wren.save("Save the correction")
    wren.sees("Read the tape again")
    expect(wren.page.locator("del").first).to_contain_text("400")


def have_a_pack_made(site: ServedSite, olive: Walker, job: str, folder: Path) -> None:
    """The owner asks for a pack, and saves it when it is made."""
    olive.open(job)
    olive.go("Packs")
    olive.save("Have it made")
    work_all(site.installation, now=clock.now())
    link = olive.page.get_by_role("link", name="Save the PDF")
    with olive.page.expect_download() as download:
        link.click()
    download.value.save_as(folder / "pack.pdf")
    assert (folder / "pack.pdf").read_bytes().startswith(b"%PDF-")


def take_the_folder_out(olive: Walker, job: str, folder: Path) -> Counter[str]:
    """The owner takes the job out; how many entries of each kind it holds is answered."""
    olive.open(f"{job}/folder")
    with olive.page.expect_download() as download:
        olive.page.get_by_role("link", name="as a zip file").click()
    download.value.save_as(folder / "job.zip")
    with zipfile.ZipFile(folder / "job.zip") as packed:
        (record,) = [name for name in packed.namelist() if name.endswith("record.jsonl")]
        lines = packed.read(record).decode().splitlines()
        photos = [name for name in packed.namelist() if name.endswith(".jpg")]
    kinds = Counter(json.loads(line)["kind"] for line in lines)
    assert len(photos) == kinds["photo"]
    return kinds
