"""The desk in use: what needs me, twenty releases by keyboard, search, batches, CSV, bad input."""

from __future__ import annotations

import csv
import io
import re
from html import unescape

import pytest
from playwright.sync_api import Page, expect

from qa.record.registry import Kind
from qa.services import desk as desk_service
from qa.services.access import Role
from qa.services.linking import Face, make_link, open_link
from qa.services.messages import write_message
from qa.services.recording import Draft, record
from qa.services.starting import start_job
from qa.trade.vocabulary import Stage
from qa.web import clock
from tests.examples import minimal
from tests.flow.browser import PEOPLE, ServedSite
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import RoofSite

WAITING = 20
STRANGE = ("%00", "%F0%9F%A6%84", "'%20OR%201=1--", "<script>", "a" * 5000, "-1", "..%2F..")


def add_waiting(site: ServedSite, number: int) -> str:
    """A job with a deck that waits for release."""
    installer, now = site.actor(Role.INSTALLER), clock.now()
    crew = [
        {"person": PEOPLE[role][0], "name": PEOPLE[role][1], "role": role.value}
        for role in (Role.INSTALLER, Role.SUPERVISOR)
    ]
    opening = minimal("job") | {"crew": crew, "job": f"W-{number}", "title": f"Roof {number}"}
    installation = site.installation
    job = start_job(
        installation, installer, opening, entry_id=installation.new_id(), at=now, now=now
    )
    body = {"stage": "deck", "decision": "complete", "statement": "Done."}
    draft = Draft(id=installation.new_id(), kind=Kind.SIGN_OFF, at=now, body=body)
    record(installation, installer, job, [draft], now=now)
    return job


def test_supervisor_clears_twenty_releases_from_the_keyboard(site: ServedSite, desk: Page) -> None:
    for number in range(WAITING):
        add_waiting(site, number)
    site.sign_in(desk, Role.SUPERVISOR)
    keys = desk.keyboard
    desk.goto(f"{site.origin}/desk")
    desk.get_by_role("link", name="Decide the oldest release").focus()
    keys.press("Enter")
    for number in range(WAITING):
        expect(desk.get_by_role("link", name="To the decision")).to_be_visible()
        expect(desk.locator("main")).to_contain_text(f"Roof {number}")
        keys.press("Tab")
        keys.press("Enter")
        keys.press("Tab")
        keys.press("Space")
        for _ in range(3):
            keys.press("Tab")
        assert desk.evaluate("document.activeElement.innerText") == "Sign the decision"
        keys.press("Enter")
        desk.wait_for_function("n => !document.body.innerText.includes(n)", arg=f"Roof {number}\n")
    expect(desk.get_by_role("heading", name="What needs me")).to_be_visible()
    assert desk_service.releases(site.installation, site.actor(Role.SUPERVISOR)) == ()


def write(roof: RoofSite, face: Face, text: str) -> None:
    """Writes to the firm by a link to the job."""
    house, now = roof.site.installation, clock.now()
    made = make_link(
        house,
        roof.site.actor(Role.OFFICE),
        roof.job_id,
        face=face,
        recipient="Ann Invented",
        now=now,
    )
    token = made.address.split("/")[-2]
    link = open_link(house, face, token, address="192.0.2.7", now=now)
    write_message(house, link, text, now=now)


def test_message_is_one_touch_from_the_desk(roof: RoofSite) -> None:
    write(roof, Face.INSURER, "Who released the deck?")
    visitor = roof.as_(Role.SUPERVISOR)
    for path in ("/desk", "/desk/messages"):
        page = unescape(visitor.open(path).text)
        found = re.search(r'href="(/jobs/[^"]+/messages/[^"]+)"><b>([^<]+)', page)
        assert found is not None, path
        assert found[2].startswith("Question by the insurer’s link: ")
        assert "Who released the deck?" in visitor.open(found[1]).text


def test_pages_fall_short_of_nothing_with_something_on_them(roof: RoofSite, desk: Page) -> None:
    roof.add("lot")
    roof.add("lot", lot="catalyst-1", material="catalyst", batch_number="C 88", unit="l")
    roof.add("mix")
    roof.add("conditions", stage="laminate", deck_c=2)
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    write(roof, Face.HOMEOWNER, "A stain on the ceiling.")
    roof.site.sign_in(desk, Role.SUPERVISOR)
    for path in ("", "/releases", "/messages", "/findings", "/late", "/packs", "/batches",
                 "/batches/C 88", "/search", "/search?q=c"):  # fmt: skip
        desk.goto(f"{roof.site.origin}/desk{path}")
        assert shortcomings(desk) == [], path


def test_line_leads_to_its_evidence(roof: RoofSite) -> None:
    for number in range(30):
        roof.add("conditions", stage="laminate", deck_c=2 - number / 10)
    roof.add("sign_off", stage="laminate", decision="complete", statement="Done.")
    supervisor = roof.as_(Role.SUPERVISOR)
    found = supervisor.open("/desk/findings").text
    whole = supervisor.open(f"/desk{roof.job}").text
    keys = re.findall(rf'href="/desk{roof.job}#([^"]+)"', found)
    assert len(keys) > 20
    for key in keys:
        assert whole.count(f'id="{unescape(key)}"') == 1, key


def test_release_and_pack_lead_to_the_whole_job(roof: RoofSite) -> None:
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    supervisor = roof.as_(Role.SUPERVISOR)
    assert f'href="/desk{roof.job}#deck"' in supervisor.open("/desk/releases").text
    whole = supervisor.open(f"/desk{roof.job}").text
    assert f'href="{roof.job}/stages/deck/release?from=desk#main"' in whole
    assert f'id="packs" href="{roof.job}/packs"' in whole


def test_office_is_led_to_the_stage_and_not_to_the_decision(roof: RoofSite) -> None:
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    page = roof.as_(Role.OFFICE).open("/desk")
    assert f'href="/desk{roof.job}#deck"' in page.text
    assert "/release?" not in page.text
    assert roof.as_(Role.OFFICE).client.get("/desk/releases/next").location == "/desk"


def test_installer_sees_no_desk(roof: RoofSite) -> None:
    visitor = roof.as_(Role.INSTALLER)
    assert visitor.open("/desk").status == 403
    assert "/desk" not in visitor.open("/").text


@pytest.mark.parametrize("strange", STRANGE)
@pytest.mark.parametrize(
    "path", ["search?q=", "search?page=", "batches?begins=", "findings?check=", "releases?page="]
)
def test_strange_question_is_answered_by_a_page(roof: RoofSite, path: str, strange: str) -> None:
    page = roof.as_(Role.OFFICE).open(f"/desk/{path}{strange}")
    assert page.status == 200
    assert "<script>" not in page.text.replace("<script type", "")


@pytest.mark.parametrize("strange", STRANGE)
def test_batch_that_nobody_holds_is_not_found(roof: RoofSite, strange: str) -> None:
    for where in ("batches", "recalls"):
        assert roof.as_(Role.OFFICE).open(f"/desk/{where}/{strange}").status == 404


@pytest.mark.parametrize("number", ["A/7", "a//b", "=1+1", "100 %", "ß?#&", "<b>x</b>"])
def test_any_batch_number_leads_to_its_trace_and_recall(roof: RoofSite, number: str) -> None:
    roof.add("lot", lot="odd", batch_number=number)
    office = roof.as_(Role.OFFICE)
    listed = office.open("/desk/batches").text
    address = unescape(listed.split('href="/desk/batches/', 1)[1].split('"', 1)[0])
    traced = office.open(f"/desk/batches/{address}")
    assert traced.status == 200
    assert "<b>x</b>" not in traced.text.replace("<b>x</b></a>", "")
    recalled = office.client.get(f"/desk/recalls/{address}")
    header, row = csv.reader(io.StringIO(recalled.text, newline=""))
    assert header[0] == "batch number"
    assert row[0] == (f"'{number}" if number.startswith("=") else number)


def test_lists_come_as_csv(roof: RoofSite) -> None:
    roof.add("lot")
    for name in ("findings", "releases", "late", "packs", "batches", "people"):
        answer = roof.as_(Role.OFFICE).client.get(f"/desk/{name}.csv")
        assert answer.mimetype == "text/csv"
        assert answer.headers["Content-Disposition"] == f'attachment; filename="{name}.csv"'
        rows = list(csv.reader(io.StringIO(answer.text, newline="")))
        assert {len(row) for row in rows} == {len(rows[0])}


@pytest.mark.parametrize("by", ["together", "crew", "lot", "month", "nonsense", ""])
def test_doses_of_many_mixes_are_charted(roof: RoofSite, by: str) -> None:
    roof.add("lot")
    roof.add("lot", lot="catalyst-1", material="catalyst", batch_number="C 88", unit="l")
    for number in range(9):
        roof.add("mix", mix=f"mix-{number}", catalyst_ml=100 + number)
    roof.add("sign_off", stage="laminate", decision="complete", statement="Done.")
    page = roof.as_(Role.OFFICE).open(f"/desk/drift?by={by}")
    assert page.status == 200
    assert "Dose error" in page.text
    assert page.text.count("<circle") >= 9


def test_drawn_charts_fall_short_of_nothing(roof: RoofSite, desk: Page) -> None:
    roof.add("lot")
    roof.add("lot", lot="catalyst-1", material="catalyst", batch_number="C 88", unit="l")
    for number in range(9):
        roof.add("mix", mix=f"mix-{number}", catalyst_ml=100 + number)
    roof.add("sign_off", stage="laminate", decision="complete", statement="Done.")
    roof.site.sign_in(desk, Role.OFFICE)
    desk.goto(f"{roof.site.origin}/desk/drift")
    assert shortcomings(desk) == []


def test_audit_draws_the_same_again_and_its_result_is_a_note(roof: RoofSite) -> None:
    for stage in Stage:
        roof.add("sign_off", stage=stage.value, decision="complete", statement="Done.")
        roof.add(
            "sign_off", role=Role.SUPERVISOR,
            stage=stage.value, decision="released", statement="Yes.",
        )  # fmt: skip
    supervisor = roof.as_(Role.SUPERVISOR)
    drawn = supervisor.open("/desk/audit?seed=spring").text
    assert drawn == supervisor.open("/desk/audit?seed=spring").text
    address = unescape(drawn.split('href="/desk/audit/jobs/', 1)[1].split('"', 1)[0])
    page = supervisor.open(f"/desk/audit/jobs/{address}")
    assert supervisor.follow(page.send(text="Nothing amiss.")).status == 200
    (note,) = roof.read().job.notes
    assert note.body.text.endswith("drawn by the seed “spring”: Nothing amiss.")


def test_job_that_was_not_drawn_takes_no_result(roof: RoofSite) -> None:
    supervisor = roof.as_(Role.SUPERVISOR)
    page = supervisor.open(f"/desk/audit/jobs/{roof.job_id}?seed=spring")
    assert page.send(text="Nothing amiss.").status_code == 404
    assert roof.read().job.notes == ()


@pytest.mark.parametrize(
    "asked",
    ["since=nonsense", "until=9999-12-31", "share=nan", "share=0", "risk=1e999", "risk=-1",
     "since=2030-01-01&until=2020-01-01", "seed=<script>", "share=ten", "since=0001-01-01"],
)  # fmt: skip
def test_strange_audit_is_answered_by_a_page(roof: RoofSite, asked: str) -> None:
    page = roof.as_(Role.OFFICE).open(f"/desk/audit?{asked}")
    assert page.status == 200
    assert "seed=<script>" not in page.text


@pytest.mark.parametrize("path", ["/desk/audit", "/desk/audit/jobs/JOB"])
def test_audit_falls_short_of_nothing(roof: RoofSite, desk: Page, path: str) -> None:
    roof.site.sign_in(desk, Role.SUPERVISOR)
    desk.goto(f"{roof.site.origin}{path.replace('JOB', roof.job_id)}")
    assert shortcomings(desk) == []
