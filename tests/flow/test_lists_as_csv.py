"""Every list of the site comes as CSV: all pages are walked, and one without is found."""

from __future__ import annotations

import csv
import io
import re
from html import unescape

import pytest

from qa.services.access import Role
from qa.services.confirming import Confirmation
from qa.services.webhook_reading import webhooks_of
from qa.services.webhooks import make_webhook
from qa.web import clock
from qa.web.csv_files import CSV_OF
from tests.flow.roof_visitor import RoofSite

NO_LIST = {
    "one thing": (
        "roof.job", "roof.stage", "roof.entry", "roof.area", "roof.mix_made", "roof.interruption",
        "roof.nonconformity", "roof.message", "roof.outside", "people.person", "desk.photo",
        "desk.specification", "desk.compare_specification", "desk.try_specification",
        "desk.audit_result", "webhooks.delivery", "desk.draft", "desk.compare_draft",
        "desk.try_draft",
    ),
    "a form": (
        "roof.start", "roof.take_in", "roof.new_area", "roof.bay", "roof.check", "roof.new_lot",
        "roof.new_instrument", "roof.bring_instruments", "roof.stop", "roof.correct",
        "roof.note", "roof.inspection",
        "roof.raise_nonconformity", "roof.sign_off", "roof.release", "roof.hand_over",
        "roof.erasure", "roof.take_out", "roof.logger", "roof.logger_file", "people.invite",
        "people.firm", "desk.new_specification", "desk.ask_photo", "desk.drift",
        "roof.decide", "roof.bulk_one", "roof.close",
        "webhooks.events", "webhooks.secret", "webhooks.end", "desk.begin_draft", "desk.draft_line",
        "desk.publish_draft", "desk.end_draft", "roof.marks",
    ),
    "leads on": ("desk.next_release",),
    "a file, or for a script": (
        "roof.pack", "roof.pack_state", "roof.photo", "roof.folder", "roof.bar_code",
        "roof.bulk_picture", "desk.trial_state", "desk.draft_trial_state",
        "roof.message_photo", "desk.specification_file", "uploads.piece", "site.asset",
        "site.healthy", "site.ready",
    ),
    "the person's own": ("account.",),
    "behind a link, with the whole record as a folder": ("owner.", "insurer."),
    "for programs": ("api.",),
    "the same for everybody": ("site.help", "site.webhooks"),
}  # fmt: skip
"""Pages without a list, and why they have none; a name that ends in a point is a whole face."""


def test_page_with_a_list_has_its_csv(roof: RoofSite) -> None:
    known = [name for names in NO_LIST.values() for name in names]
    faces = tuple(name for name in known if name.endswith("."))
    files = {one.endpoint for lists in CSV_OF.values() for one in lists}
    pages = {rule.endpoint for rule in roof.site.app.url_map.iter_rules() if "GET" in rule.methods}
    without = {
        page for page in pages - files - CSV_OF.keys() - set(known) if not page.startswith(faces)
    }
    assert without == set(), "A page is new: name it in CSV_OF, or here, with why it has no list."


def address_of(roof: RoofSite, endpoint: str) -> str:
    """The page of an endpoint, of the roof's own job."""
    values = {"job": roof.job_id, "stage": "deck", "area": "main", "batch": "R-1"}
    if "webhook" in endpoint:
        values["webhook"] = webhooks_of(roof.site.installation, roof.site.actor(Role.OWNER))[0].id
    (rule, *_) = [one for one in roof.site.app.url_map.iter_rules(endpoint) if "GET" in one.methods]
    address = rule.rule
    for argument in rule.arguments:
        address = re.sub(rf"<(\w+:)?{argument}>", values[argument], address)
    return address


@pytest.fixture
def full(roof: RoofSite) -> RoofSite:
    """A job with something of most kinds; one of its texts is a formula."""
    roof.add("lot", batch_number="R-1", product="=1+1")
    roof.add("lot", lot="catalyst-1", material="catalyst", batch_number="C 88", unit="l")
    for kind in ("instrument", "conditions", "mix", "measurement", "observation", "usage",
                 "nonconformity", "note"):  # fmt: skip
        roof.add(kind)
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    make_webhook(
        roof.site.installation, roof.site.actor(Role.OWNER), Confirmation(proven_at=clock.now()),
        address="https://office.example/hook", events=("job_started",), now=clock.now(),
    )  # fmt: skip
    return roof


def test_way_at_the_foot_of_every_list_leads_to_its_rows(full: RoofSite) -> None:
    owner = full.as_(Role.OWNER)
    for endpoint, lists in CSV_OF.items():
        may = full.as_(Role.SUPERVISOR) if endpoint.startswith("roof.") else owner
        page = may.open(address_of(full, endpoint))
        assert page.status == 200, endpoint
        foot = page.text.split("As CSV: ", 1)[1].split("</p>", 1)[0]
        found = [unescape(one) for one in re.findall(r'href="([^"]+)"', foot)]
        assert len(found) == len(lists), endpoint
        for address in found:
            answer = may.client.get(address)
            assert (answer.status_code, answer.mimetype) == (200, "text/csv"), address
            header, *rows = csv.reader(io.StringIO(answer.text, newline=""))
            assert all(len(row) == len(header) for row in rows), address
            assert not any(cell.startswith("=") for row in rows for cell in row), address


def test_list_of_a_job_holds_what_the_record_holds(full: RoofSite) -> None:
    def table(name: str) -> list[dict[str, str]]:
        answer = full.as_(Role.INSTALLER).client.get(f"{full.job}/lists/{name}.csv")
        return list(csv.DictReader(io.StringIO(answer.text, newline="")))

    entries = full.read().job.entries
    assert [row["entry"] for row in table("record")] == [entry.id for entry in entries]
    lots = {row["lot"]: row for row in table("lots")}
    assert {row["product"] for row in lots.values()} >= {"'=1+1"}
    (mix,) = table("mixes")
    assert mix["kg"] == "5"
    assert mix["at"].endswith(("+00:00", "+01:00"))
    assert {row["verdict"] for row in table("findings")} >= {"within", "outside", "not_recorded"}


def test_list_narrowed_on_the_page_is_narrowed_in_the_file(full: RoofSite) -> None:
    full.add("conditions", stage="laminate", deck_c=2)
    owner = full.as_(Role.OWNER)
    page = owner.open("/desk/findings?check=conditions.deck_temperature")
    (address,) = re.findall(r'href="(/desk/findings.csv[^"]*)"', page.text)
    rows = list(csv.DictReader(io.StringIO(owner.client.get(address).text, newline="")))
    assert {row["check"] for row in rows} <= {"conditions.deck_temperature"}


@pytest.mark.parametrize("name", ["nothing", "links", "..%2Frecord"])
def test_list_that_is_not_there_is_not_found(roof: RoofSite, name: str) -> None:
    assert roof.as_(Role.OWNER).open(f"{roof.job}/lists/{name}.csv").status == 404


def test_installer_has_the_job_list_and_not_the_links(roof: RoofSite) -> None:
    installer = roof.as_(Role.INSTALLER)
    assert installer.client.get("/jobs.csv").status_code == 200
    assert installer.client.get(f"{roof.job}/links.csv").status_code == 403
