"""The list of jobs, starting one, its page and its crew, as somebody without script sees them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from qa.services.access import Role
from qa.services.reading import read_job
from qa.trade.vocabulary import Stage
from tests.flow.browser import ServedSite
from tests.flow.roof_visitor import OpenPage, RoofSite, Visitor, begin_roof

TYPED = {
    "title": "Garage roof",
    "address": "1 Invented Lane",
    "client_name": "A. Client",
}


def visitor(site: ServedSite, who: Role) -> Visitor:
    return RoofSite(site=site, job_id="").as_(who)


def start(site: ServedSite, who: Role = Role.INSTALLER, **typed: Any) -> OpenPage:
    """The page that follows a job that was started."""
    person = visitor(site, who)
    return person.follow(person.open("/jobs/new").send(**(TYPED | typed)))


def job_of(page: OpenPage) -> str:
    found = re.search(r"/jobs/([0-9a-f-]{36})", page.path)
    assert found
    return found[1]


def test_empty_list_says_how_to_begin(site: ServedSite) -> None:
    page = visitor(site, Role.INSTALLER).open("/")
    assert page.status == 200
    assert "There is no job yet" in page.text
    assert 'href="/jobs/new"' in page.text
    assert "Take in a job folder" not in page.text
    assert "Take in a job folder" in visitor(site, Role.OFFICE).open("/").text


def test_job_in_the_list_says_how_it_stands(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open("/")
    assert "Garage roof" in page.text
    assert "1 Invented Lane" in page.text
    assert "Survey in hand" in page.text
    roof.add("measurement", stage="deck", check="deck.moisture", value=25, unit="%", area="main")
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    page = roof.as_(Role.INSTALLER).open("/")
    assert "1 stage waits for release" in page.text
    assert 'class="outside"' in page.text


@pytest.mark.parametrize("number", ["0", "-1", "x", "9" * 400, "1e3", "%00"])
def test_page_of_the_list_that_is_none_is_the_first(roof: RoofSite, number: str) -> None:
    page = roof.as_(Role.INSTALLER).open(f"/?page={number}")
    assert page.status == 200
    assert "Garage roof" in page.text


def test_long_list_has_pages(site: ServedSite, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("qa.web.roof.jobs.A_PAGE", 1)
    for title in ("First", "Second"):
        start(site, title=title)
    person = visitor(site, Role.INSTALLER)
    first = person.open("/")
    assert "Second" in first.text
    assert "First" not in first.text
    assert "Older jobs" in first.text
    second = person.open("/?page=2")
    assert "First" in second.text
    assert "Newer jobs" in second.text
    assert "There are no more jobs" in person.open("/?page=3").text


def test_reference_is_proposed_by_year_and_number(site: ServedSite) -> None:
    first = visitor(site, Role.INSTALLER).open("/jobs/new").fields["reference"][0]
    assert re.fullmatch(r"20\d\d-001", first)
    start(site)
    second = visitor(site, Role.INSTALLER).open("/jobs/new").fields["reference"][0]
    assert second == first[:-1] + "2"


def test_started_job_leads_to_its_outline(site: ServedSite) -> None:
    page = start(site)
    assert page.path.endswith("/areas/new")
    job = read_job(site.installation, site.actor(Role.INSTALLER), job_of(page)).job
    assert [person.role.value for person in job.opening.body.crew] == ["installer", "supervisor"]
    assert job.opening.by == site.actor(Role.INSTALLER).key


def test_who_starts_a_job_is_always_of_its_crew(site: ServedSite) -> None:
    page = start(site, Role.OFFICE, crew=[])
    job = read_job(site.installation, site.actor(Role.OFFICE), job_of(page)).job
    assert [person.role.value for person in job.opening.body.crew] == ["office"]


def test_form_sent_twice_starts_one_job(site: ServedSite) -> None:
    page = visitor(site, Role.INSTALLER).open("/jobs/new")
    first, second = page.send(**TYPED), page.send(**TYPED)
    assert first.location == second.location
    assert page.send(**(TYPED | {"title": "Another roof"})).status_code == 409


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"title": ""}, "This is missing"),
        ({"address": " "}, "This is missing"),
        ({"client_name": None}, "This is missing"),
        ({"time_zone": "Mars/Olympus"}, "it must be a time zone of the IANA list"),
        ({"time_zone": "../../etc/passwd"}, "it must be a time zone of the IANA list"),
        ({"time_zone": "\x00"}, "it must be a time zone of the IANA list"),
        ({"title": "x" * 20_001}, "the longest text is 20000"),
        ({"title": "bell \x07"}, "control character"),
        ({"reference": "y" * 200}, "a key has 1 to 80 visible characters"),
        ({"crew": "installer/nobody"}, "is not offered any more"),
    ],
)
def test_what_cannot_be_is_refused_in_its_field(
    site: ServedSite, typed: dict[str, Any], told: str
) -> None:
    page = visitor(site, Role.INSTALLER).open("/jobs/new")
    answer = page.send(**(TYPED | typed))
    assert answer.status_code == 400
    assert told in answer.text
    assert "Not saved yet" in answer.text
    assert "1 Invented Lane" in answer.text or "address" in typed
    assert "There is no job yet" in visitor(site, Role.INSTALLER).open("/").text


def test_reference_that_another_job_has_is_refused(site: ServedSite) -> None:
    start(site, reference="R 1")
    answer = visitor(site, Role.INSTALLER).open("/jobs/new").send(**TYPED, reference="R 1")
    assert answer.status_code == 400
    assert "which another job of the firm has" in answer.text


@pytest.mark.parametrize(
    "evil", ["<script>alert(1)</script>", "'; DROP TABLE job; --", "{{ 7*7 }}"]
)
def test_foreign_words_are_shown_as_words(site: ServedSite, evil: str) -> None:
    page = start(site, title=evil, client_name=evil, address=evil)
    job = visitor(site, Role.INSTALLER).open(f"/jobs/{job_of(page)}")
    assert job.status == 200
    assert "<script>alert" not in job.text
    assert "&lt;script&gt;" in job.text or "script" not in evil


def test_stage_in_hand_says_what_is_still_to_record(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(roof.job)
    assert '<h1 id="stage">Survey</h1>' in page.text
    assert "Spacing of the joists, centre to centre" in page.text
    assert "Photo: the joists, open" in page.text
    assert page.text.count("<details>") >= len(Stage) - 1
    assert f"{roof.job}/photos?stage=survey" in page.text


def test_three_touches_lead_from_the_list_to_the_camera(roof: RoofSite) -> None:
    person = roof.as_(Role.INSTALLER)
    assert f'href="{roof.job}"' in person.open("/").text
    bar = person.open(roof.job).text.partition('class="bar"')[2]
    address = re.search(r'href="([^"]+)">Photo</a>', bar)
    assert address
    camera = person.open(address[1].replace("&amp;", "&"))
    assert 'capture="environment"' in camera.text


def test_value_outside_asks_for_a_photo_and_a_word(roof: RoofSite) -> None:
    made = roof.add(
        "measurement", stage="deck", check="deck.moisture", value=25, unit="%", area="main"
    )
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/stages/deck")
    assert "Outside limits" in page.text
    assert f"{roof.job}/record/{made.entry}/outside" in page.text
    assert "at most 18 %" in page.text


def test_signatures_are_shown_back(roof: RoofSite) -> None:
    roof.add("sign_off", stage="survey", decision="complete", statement="Sound joists.")
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/stages/survey")
    assert re.search(r"Signed off by Nell Sample, \d\d:\d\d: Sound joists\.", page.text)
    assert "Back to the stage in hand: deck" in page.text


def test_mix_is_on_the_bar_in_wet_stages_only(roof: RoofSite) -> None:
    person = roof.as_(Role.INSTALLER)
    assert ">Mix</a>" in person.open(f"{roof.job}/stages/laminate").text
    assert ">Mix</a>" not in person.open(f"{roof.job}/stages/deck").text
    assert 'class="bar"' not in roof.as_(Role.OFFICE).open(roof.job).text


@pytest.mark.parametrize("path", ["/stages/nothing", "/stages/", "/areas/none", "/record/x"])
def test_what_is_not_there_answers_404(roof: RoofSite, path: str) -> None:
    assert roof.as_(Role.INSTALLER).open(roof.job + path).status == 404


def test_job_of_nobody_answers_404(roof: RoofSite) -> None:
    for job in ("01234567-0000-7000-8000-000000000000", "x", "%27%20or%201=1"):
        assert roof.as_(Role.INSTALLER).open(f"/jobs/{job}").status == 404


def test_person_who_is_not_of_the_crew_can_add_themselves(roof: RoofSite) -> None:
    client = roof.site.app.test_client()
    client.set_cookie("acting-as", roof.site.marks["tam"])
    tam = Visitor(client=client)
    for where in ("", "/conditions", "/stages/deck/checks/deck.dry"):
        assert "Add yourself to the crew" in tam.open(roof.job + where).text
    refused = tam.open(f"{roof.job}/stages/deck/checks/deck.dry").send(result="yes")
    assert refused.status_code == 400
    assert "You are not of this job’s crew. Add yourself" in refused.text
    page = tam.open(f"{roof.job}/crew")
    assert page.send().status_code == 400
    after = tam.follow(page.send(added="installer/tam"))
    assert "Tam Example" in after.text
    assert "Add yourself to the crew" not in tam.open(roof.job).text
    (correction,) = roof.read().job.opening.corrections
    assert "Added to the crew: Tam Example." in str(correction.written["body"]["reason"])


def test_somebody_of_another_firm_cannot_be_added(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/crew")
    assert page.send(added="installer/stranger").status_code == 400
    assert not roof.read().job.opening.corrections


def test_erased_client_is_told_as_erased(site: ServedSite) -> None:
    roof = begin_roof(site)
    opening = roof.read().job.opening
    roof.add(
        "correction",
        role=Role.OFFICE,
        corrects=opening.id,
        reason="Asked for.",
        body=opening.entry.written["body"] | {"client": {"name": {"digest": "0" * 64}}},
    )
    assert "(erased)" in roof.as_(Role.INSTALLER).open(roof.job).text
