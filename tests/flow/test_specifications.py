"""Specifications on the site: read, added from a file, compared, tried on the firm's jobs."""

from __future__ import annotations

import io
from typing import Any

import pytest
from playwright.sync_api import Page
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.specifications import make_version, offered_versions
from qa.web import clock
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import RoofSite
from tests.specifications import firm_file, with_limit

STRICTER = with_limit(firm_file(), "check.deck.moisture", "upper", "12")
PLACE = "/desk/specifications"


def make(roof: RoofSite, content: bytes = STRICTER) -> None:
    supervisor = roof.site.actor(Role.SUPERVISOR)
    make_version(roof.site.installation, supervisor, content, note="Our sheet.", now=clock.now())


def send(roof: RoofSite, content: bytes, role: Role = Role.SUPERVISOR) -> TestResponse:
    """Sends the form as a browser does."""
    visitor = roof.as_(role)
    page = visitor.open(f"{PLACE}/new")
    fields: dict[str, Any] = {name: values[-1] for name, values in page.fields.items()} | {
        "file": (io.BytesIO(content), "ours.toml"),
        "note": "Our sheet.",
    }
    return visitor.client.post(f"{PLACE}/new", data=fields, content_type="multipart/form-data")


def test_version_is_added_from_a_file_and_read(roof: RoofSite) -> None:
    answer = send(roof, STRICTER)
    assert answer.status_code == 303
    assert answer.location.endswith(f"{PLACE}/our-limits/1")
    page = roof.as_(Role.OFFICE).open(f"{PLACE}/our-limits/1")
    for words in (
        'upper</dt><dd class="id">12 %',
        "project choice",
        "check.deck.moisture",
        "rows, row 4",
    ):
        assert words in page.text
    file = roof.as_(Role.OFFICE).client.get(f"{PLACE}/our-limits/1/file")
    assert file.data == STRICTER


def test_every_fault_of_a_file_is_told_by_its_table(roof: RoofSite) -> None:
    faulty = with_limit(STRICTER, "check.deck.moisture", "source", '""')
    faulty = faulty.replace(b"from_c = 13, to_c = 16", b"from_c = 14, to_c = 16")
    answer = send(roof, faulty)
    assert answer.status_code == 400
    assert "check.deck.moisture: source is empty" in answer.text
    assert "hole from 13 to 14" in answer.text
    assert len(offered_versions(roof.site.installation, roof.site.actor(Role.OWNER))) == 1


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"<script>", b"a = " * 9000])
def test_anything_else_than_a_specification_is_refused(roof: RoofSite, content: bytes) -> None:
    answer = send(roof, content)
    assert answer.status_code == 400
    assert "<script>" not in answer.text.replace("<script type", "")


def test_office_reads_and_makes_none(roof: RoofSite) -> None:
    office = roof.as_(Role.OFFICE)
    assert "/new" not in office.open(PLACE).text
    assert office.open(f"{PLACE}/new").status == 403


def test_comparison_tells_what_differs(roof: RoofSite) -> None:
    make(roof)
    page = roof.as_(Role.OFFICE).open(f"{PLACE}/our-limits/1/compare?with=general-grp/1")
    assert "2 things differ" in page.text
    assert "<td>18 %</td><td>12 %</td>" in page.text
    assert "Source of both" in page.text


def test_trial_run_tells_the_findings_that_would_change(roof: RoofSite) -> None:
    roof.add("measurement", check="deck.moisture", stage="deck", unit="%", value=15)
    make(roof)
    office = roof.as_(Role.OFFICE)
    for version in ("our-limits/1", "general-grp/1"):
        assert office.open(f"{PLACE}/{version}/trial").send().status_code == 303
    work_all(roof.site.installation, now=clock.now())
    page = office.open(f"{PLACE}/our-limits/1/trial")
    assert "1 of 1 job judged. 1 finding would change" in page.text
    assert "Within limits now, outside limits then: 1 finding" in page.text
    assert "which it keeps" in page.text
    assert roof.read().specification.name == "general-grp/1"
    same = office.open(f"{PLACE}/general-grp/1/trial")
    assert "0 findings would change" in same.text


def test_new_job_is_proposed_the_newest_and_keeps_what_was_chosen(roof: RoofSite) -> None:
    office = roof.as_(Role.SUPERVISOR)
    assert office.open("/jobs/new").fields["specification"] == ["general-grp/1"]
    make(roof)
    typed = {"title": "R", "client_name": "A. Client", "address": "1 Invented Lane"}
    first = office.open("/jobs/new").send(**typed, specification="our-limits/1")
    assert first.status_code == 303, first.text
    make(roof, firm_file("our-limits/2"))
    assert office.open("/jobs/new").fields["specification"] == ["our-limits/2"]
    refused = office.open("/jobs/new").send(**typed, specification="nobodys/1")
    assert refused.status_code == 400


def test_pages_fall_short_of_nothing(roof: RoofSite, desk: Page) -> None:
    roof.add("measurement", check="deck.moisture", stage="deck", unit="%", value=15)
    make(roof)
    roof.site.sign_in(desk, Role.SUPERVISOR)
    for path in ("", "/new", "/our-limits/1", "/our-limits/1/compare?with=general-grp/1",
                 "/our-limits/1/trial"):  # fmt: skip
        desk.goto(f"{roof.site.origin}{PLACE}{path}")
        assert shortcomings(desk) == [], path
