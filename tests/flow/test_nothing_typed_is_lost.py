"""A sign-in that ran out, a server that is gone, two who save at once: nothing lost, nothing twice.

A reload and a lost signal are in `test_drafts`, a phone's clock that is wrong in
`test_roof_signing` and `test_roof_clocks`, whoever may not in `test_access`.
"""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass
from datetime import timedelta

import pytest
from playwright.sync_api import Browser, expect

from qa.record.job import Job
from qa.record.registry import Kind
from qa.services.access import Role
from qa.services.reading import read_job
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.web import clock
from qa.web.serving import listen
from tests.accounts import acting, add_account, add_firm
from tests.examples import minimal
from tests.flow.browser import PHONE, ServedSite, answering, open_page
from tests.flow.walker import Walker

MOISTURE = "/stages/deck/checks/deck.moisture"
TYPED = "Behind the chimney"


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTheRoof:
    """A job of two installers who can sign in.

    Attributes:
        job: its address.
    """

    site: ServedSite
    firm_id: str
    job: str

    def read(self) -> Job:
        """The job as it stands."""
        wren = acting(self.site.installation, self.firm_id, "wren")
        return read_job(self.site.installation, wren, self.job.rpartition("/")[2]).job


@pytest.fixture
def on_the_roof(site: ServedSite) -> OnTheRoof:
    installation, now = site.installation, clock.now()
    firm_id = add_firm(installation, "Slope and Strip (invented)")
    wren, abe = (add_account(installation, firm_id, key, Role.INSTALLER) for key in ("wren", "abe"))
    crew = [{"person": p.key, "name": p.name, "role": "installer"} for p in (wren, abe)]
    opening = minimal("job") | {"crew": crew}
    job = start_job(installation, wren, opening, entry_id=installation.new_id(), at=now, now=now)
    area = Draft(id=installation.new_id(), kind=Kind.AREA, at=now, body=minimal("area"))
    record(installation, wren, job, [area], now=now)
    return OnTheRoof(site=site, firm_id=firm_id, job=f"/jobs/{job}")


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_sign_in_that_ran_out_costs_a_sign_in_and_a_touch(
    on_the_roof: OnTheRoof, browser: Browser, script: bool
) -> None:
    with open_page(browser, PHONE, script=script) as page:
        wren = Walker(page, on_the_roof.site.origin, scripted=script)
        wren.sign_in("wren@firm.example")
        wren.open(on_the_roof.job + MOISTURE)
        wren.fill("Moisture content", "15,5")
        wren.fill("Note", TYPED)
        page.context.clear_cookies()
        wren.save("Save")
        wren.sees("What you were saving is kept")
        wren.prove("wren@firm.example")
        wren.sees("Nothing is lost")
        wren.save("Save it now")
        wren.open(on_the_roof.job + MOISTURE)
        expect(page.locator("#value")).to_have_value("")  # and the phone's draft is forgotten
    (measured,) = on_the_roof.read().measurements
    assert measured.body.value == 15.5
    assert on_the_roof.read().notes[0].body.text.endswith(TYPED)
    assert clock.now() - measured.at < timedelta(minutes=1)


def test_form_of_a_stage_is_saved_in_that_stage_after_a_sign_in(
    on_the_roof: OnTheRoof, browser: Browser
) -> None:
    with open_page(browser, PHONE) as page:
        wren = Walker(page, on_the_roof.site.origin)
        wren.sign_in("wren@firm.example")
        wren.open(f"{on_the_roof.job}/conditions?stage=topcoat")
        for label, typed in (("Air", "16"), ("Humidity", "60"), ("Deck", "14")):
            wren.fill(label, typed)
        page.context.clear_cookies()
        wren.save("Save")
        wren.prove("wren@firm.example")
        wren.save("Save it now")
    (reading,) = on_the_roof.read().conditions
    assert reading.body.stage == "topcoat"


def test_draft_of_a_stage_is_not_offered_in_another(
    on_the_roof: OnTheRoof, browser: Browser
) -> None:
    with open_page(browser, PHONE) as page:
        wren = Walker(page, on_the_roof.site.origin)
        wren.sign_in("wren@firm.example")
        wren.open(f"{on_the_roof.job}/conditions?stage=topcoat")
        wren.fill("Air", "16")
        wren.open(f"{on_the_roof.job}/conditions?stage=laminate")
        expect(page.locator("#air_c")).to_have_value("")
        wren.open(f"{on_the_roof.job}/conditions?stage=topcoat")
        expect(page.locator("#air_c")).to_have_value("16")


def test_server_that_is_gone_loses_nothing(on_the_roof: OnTheRoof, browser: Browser) -> None:
    """The phone's page outlives the server that answered it."""
    with ExitStack() as first, open_page(browser, PHONE) as page:
        app = on_the_roof.site.app
        listening = listen("127.0.0.1", 0)
        port = listening.getsockname()[1]
        first.enter_context(answering(app, listening))
        wren = Walker(page, f"http://localhost:{port}")
        wren.sign_in("wren@firm.example")
        wren.open(on_the_roof.job + MOISTURE)
        wren.fill("Moisture content", "16")
        first.close()
        wren.touch("Save")
        wren.sees("It is kept on this phone")
        expect(page.locator("#value")).to_have_value("16")
        with answering(app, listen("127.0.0.1", port)):
            wren.save("Save")
            wren.sees("Saved")
    assert [one.body.value for one in on_the_roof.read().measurements] == [16]


def test_two_tabs_sign_at_once_and_it_stands_once(on_the_roof: OnTheRoof, browser: Browser) -> None:
    with open_page(browser, PHONE) as page:
        first = Walker(page, on_the_roof.site.origin)
        first.sign_in("wren@firm.example")
        tabs = [first, Walker(page.context.new_page(), on_the_roof.site.origin)]
        for tab in tabs:
            tab.open(f"{on_the_roof.job}/stages/survey/sign-off")
        for tab in tabs:
            tab.touch("Sign off as complete")
        for tab in tabs:
            tab.page.wait_for_url(f"**{on_the_roof.job}/stages/survey")
            tab.sees("Signed off by Wren Sample")
    assert len(on_the_roof.read().sign_offs) == 1


def test_second_installer_is_told_that_it_is_signed(
    on_the_roof: OnTheRoof, browser: Browser
) -> None:
    with open_page(browser, PHONE) as one, open_page(browser, PHONE) as other:
        wren, abe = (Walker(page, on_the_roof.site.origin) for page in (one, other))
        wren.sign_in("wren@firm.example")
        abe.sign_in("abe@firm.example")
        for walker in (wren, abe):
            walker.open(f"{on_the_roof.job}/stages/survey/sign-off")
        wren.save("Sign off as complete")
        abe.save("Sign off as complete")
        abe.sees("is signed off already, by Wren Sample")
        abe.sees("yours was not added")
    assert [signed.by for signed in on_the_roof.read().sign_offs] == ["wren"]
