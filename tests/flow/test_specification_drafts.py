"""Limits changed on the site: a draft of small forms, compared, tried on jobs, published."""

from __future__ import annotations

from playwright.sync_api import Page, expect
from werkzeug.test import TestResponse

from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.specification_drafts import open_drafts, read_draft
from qa.services.specifications import offered_versions, read_version
from qa.web import clock
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.flow.walker import Walker

PLACE = "/desk/specifications"
MOISTURE = "check.deck.moisture"
CHART = "chart.resin_dose"
LONG_AGO = "Board maker’s sheet, edition 3, May 2026."


def begin(roof: RoofSite, role: Role = Role.SUPERVISOR) -> str:
    """Begins a draft from the built-in version, and answers its address."""
    visitor = roof.as_(role)
    answer = visitor.open(f"{PLACE}/general-grp/1/draft").send(named="our-limits")
    assert answer.status_code == 303, answer.text
    return str(answer.location)


def line(roof: RoofSite, draft: str, path: str, role: Role = Role.SUPERVISOR) -> OpenPage:
    page = roof.as_(role).open(f"{draft}/lines/{path}")
    assert page.status == 200, page.text
    return page


def change(roof: RoofSite, draft: str, upper: str = "12") -> TestResponse:
    return line(roof, draft, MOISTURE).send(upper=upper, source=LONG_AGO)


def as_sent(page: OpenPage, **cells: tuple[int, str]) -> dict[str, list[str]]:
    """The fields of a page with some cells of its table typed: name of the column, row and text."""
    fields = {name: list(values) for name, values in page.fields.items()}
    for name, (row, text) in cells.items():
        fields[f"rows-{name}"][row] = text
    return fields


def test_limit_is_changed_compared_and_published(roof: RoofSite) -> None:
    draft = begin(roof)
    assert change(roof, draft).status_code == 303
    supervisor = roof.as_(Role.SUPERVISOR)
    page = supervisor.open(draft)
    for words in ("Orla Specimen", "upper: 18 % → 12 %", "1 line says otherwise", "1 changed"):
        assert words in page.text
    assert "<td>18 %</td><td>12 %</td>" in supervisor.open(f"{draft}/compare").text
    answer = supervisor.open(f"{draft}/publish").send(note="The sheet asks for less.")
    assert answer.status_code == 303, answer.text
    assert "The sheet asks for less." in supervisor.follow(answer).text
    owner = roof.site.actor(Role.OWNER)
    held = read_version(roof.site.installation, owner, "our-limits", 1)
    assert held.specification.checks["deck.moisture"].limits.upper == 12
    assert held.specification.checks["deck.moisture"].source == LONG_AGO
    assert "published it as our-limits/1" in supervisor.open(draft).text


def test_every_line_has_a_form_that_keeps_it_as_it_is(roof: RoofSite) -> None:
    draft = begin(roof)
    supervisor = roof.as_(Role.SUPERVISOR)
    links = supervisor.open(draft).text.split(f'href="{draft}/lines/')[1:]
    paths = [link.partition('"')[0] for link in links]
    assert len(paths) > 140
    several = {path.partition(".")[0]: path for path in paths}
    shown = [*several.values(), MOISTURE, CHART, "planning.resin_tins_kg", "check.mix.dose",
             "check.survey.back_fall", "check.laminate.consumption", "stage.topcoat"]  # fmt: skip
    for path in shown:
        answer = line(roof, draft, path).send()
        assert answer.status_code == 303, (path, answer.text)
    owner = roof.site.actor(Role.OWNER)
    (kept,) = open_drafts(roof.site.installation, owner)
    told = [one.told for one in read_draft(roof.site.installation, owner, kept.id).changes]
    assert told == []


FAULTY_LIMITS: tuple[tuple[dict[str, str], str], ...] = (
    ({"source": ""}, "This is missing; fill it in."),
    ({"basis": "hearsay"}, "is none of these; choose one."),
    ({"lower": "30"}, "lower limit is 30.0; it must be 18 or less, the upper limit."),
    ({"upper": "nan"}, "is no figure; write it like"),
    ({"upper": "1e308"}, "no figure of a roof is like that"),
    ({"upper": "", "lower": ""}, "lower and upper are both missing"),
    ({"upper": "eighteen"}, "is no figure; write it like"),
    ({"source": "x" * 2001}, "more than 2,000 signs"),
    ({"quantity": "a\x07b"}, "a sign that cannot be printed"),
)


def test_faulty_limit_is_told_and_nothing_is_kept(roof: RoofSite) -> None:
    page = line(roof, begin(roof), MOISTURE)
    for typed, words in FAULTY_LIMITS:
        answer = page.send(**typed)
        assert answer.status_code == 400, typed
        assert words in answer.text, typed
    (kept,) = open_drafts(roof.site.installation, roof.site.actor(Role.OWNER))
    assert kept.revision == 0


def test_markup_in_a_sentence_is_shown_as_it_was_typed(roof: RoofSite) -> None:
    draft = begin(roof)
    marked = '<script>alert(1)</script> {{ 7 * 7 }} "quoted" \\ {% raw %}'
    assert line(roof, draft, MOISTURE).send(source=marked).status_code == 303
    for path in ("", "/compare", "/publish", f"/lines/{MOISTURE}"):
        text = roof.as_(Role.SUPERVISOR).open(f"{draft}{path}").text
        assert "<script>alert" not in text
        assert "{{ 7 * 7 }}" in text


FAULTY_CHARTS: tuple[tuple[str, int, str, str], ...] = (
    ("from_c", 1, "14", "hole from 13 to 14"),
    ("from_c", 1, "12,5", "overlap from 12.5 to 13"),
    ("from_c", 1, "4", "from the coldest to the warmest"),
    ("to_c", 1, "10", "Row 2: end of the chart row from 13 to 10"),
    ("lower_ml_per_kg", 0, "NaN", "Row 1, Least, ml/kg: “NaN” is no figure"),
    ("target_ml_per_kg", 2, "", "Row 3, Target, ml/kg: this is missing"),
    ("upper_ml_per_kg", 3, "1e300", "no figure of a roof"),
)


def test_faulty_chart_names_its_rows(roof: RoofSite) -> None:
    page = line(roof, begin(roof), CHART)
    for column, row, typed, words in FAULTY_CHARTS:
        answer = page.client.post(page.path, data=as_sent(page, **{column: (row, typed)}))
        assert answer.status_code == 400, words
        assert words in answer.text, words
    short = as_sent(page)
    short["rows-to_c"].pop()
    assert "came incomplete" in page.client.post(page.path, data=short).text


def test_row_is_added_and_taken_out_without_script(roof: RoofSite) -> None:
    draft = begin(roof)
    page = line(roof, draft, CHART)
    more = page.client.post(page.path, data=as_sent(page, to_c=(0, "9")) | {"rows_step": "add 1"})
    assert more.status_code == 200
    assert "Row 5" in more.text
    fields = as_sent(page, to_c=(0, "9"))
    new = {"from_c": "9", "to_c": "13", "includes_to": "", "target_ml_per_kg": "35",
           "lower_ml_per_kg": "30", "upper_ml_per_kg": "40"}  # fmt: skip
    for name, text in new.items():
        fields[f"rows-{name}"].insert(1, text)
    assert page.client.post(page.path, data=fields).status_code == 303
    (kept,) = open_drafts(roof.site.installation, roof.site.actor(Role.OWNER))
    held = read_draft(roof.site.installation, roof.site.actor(Role.OWNER), kept.id)
    assert [row.to_c for row in held.specification.resin_dose.chart.rows] == [9, 13, 16, 20, 35]
    page = line(roof, draft, CHART)
    fewer = page.client.post(page.path, data=as_sent(page) | {"rows_step": "out 1"})
    assert "Row 5" not in fewer.text
    for odd in ("out 99", "add -1", "add x", "", "add 99999999999999999999"):
        answer = page.client.post(page.path, data=as_sent(page) | {"rows_step": odd})
        assert answer.status_code == 200


def test_photo_of_a_stage_is_asked_for(roof: RoofSite) -> None:
    draft = begin(roof)
    page = line(roof, draft, "stage.topcoat")
    added = page.client.post(page.path, data={**page.fields, "rows_step": "add 0"})
    assert "What must be seen" in added.text
    row = {"photos-text": "the finished coat", "photos-per": "area", "photos-least": "2",
           "photos-checks": "topcoat.coverage"}  # fmt: skip
    assert page.client.post(page.path, data={**page.fields, **row}).status_code == 303
    wrong = {**page.fields, **row, "photos-checks": "deck.board"}
    wrong["seen"] = line(roof, draft, "stage.topcoat").fields["seen"]
    answer = page.client.post(page.path, data=wrong)
    assert "Row 1: deck.board is not a check of this stage" in answer.text


def test_changed_line_is_put_back(roof: RoofSite) -> None:
    draft = begin(roof)
    change(roof, draft)
    assert line(roof, draft, MOISTURE).send(put_back="yes", upper="rubbish").status_code == 303
    page = roof.as_(Role.SUPERVISOR).open(draft)
    assert "It says what general-grp/1 says" in page.text


def test_two_who_change_one_line_hear_of_each_other(roof: RoofSite) -> None:
    draft = begin(roof)
    first = line(roof, draft, MOISTURE)
    second = line(roof, draft, MOISTURE, Role.OWNER)
    assert first.send(upper="12").status_code == 303
    refused = second.send(upper="14")
    assert refused.status_code == 400
    assert "Orla Specimen changed this meanwhile: upper: 18 % → 12 %" in refused.text
    assert 'value="14"' in refused.text


def test_second_who_publishes_is_told(roof: RoofSite) -> None:
    draft = begin(roof)
    change(roof, draft)
    pages = [roof.as_(one).open(f"{draft}/publish") for one in (Role.SUPERVISOR, Role.OWNER)]
    assert pages[0].send(note="Less.").status_code == 303
    told = pages[1].send(note="Less, too.")
    assert told.status_code == 409
    assert "Orla Specimen published it as our-limits/1 meanwhile" in told.text
    assert len(offered_versions(roof.site.installation, roof.site.actor(Role.OWNER))) == 2


def test_trial_run_of_a_draft_tells_the_whole_answer(roof: RoofSite) -> None:
    roof.add("measurement", check="deck.moisture", stage="deck", unit="%", value=15)
    draft = begin(roof)
    change(roof, draft)
    supervisor = roof.as_(Role.SUPERVISOR)
    assert "It has not been tried yet" in supervisor.open(f"{draft}/trial").text
    assert supervisor.open(f"{draft}/trial").send().status_code == 303
    state = supervisor.client.get(f"{draft}/trial/state").json
    told = "0 of 1 job judged. 0 findings would change."
    assert state == {"waiting": True, "told": told}
    work_all(roof.site.installation, now=clock.now())
    page = supervisor.open(f"{draft}/trial")
    assert "1 of 1 job judged. 1 finding would change. 1 job is touched by it." in page.text
    assert "Within limits now, outside limits then: 1 finding" in page.text
    supervisor.open(f"{draft}/publish").send(note="Less.")
    assert "1 of 1 job judged" in supervisor.open(f"{PLACE}/our-limits/1/trial").text


def test_draft_is_thrown_away(roof: RoofSite) -> None:
    draft = begin(roof)
    supervisor = roof.as_(Role.SUPERVISOR)
    token = supervisor.open(f"{PLACE}/general-grp/1/draft").fields["csrf_token"]
    assert supervisor.client.post(f"{draft}/end", data={"csrf_token": token}).status_code == 303
    assert "Draft from" not in supervisor.open(PLACE).text
    assert "threw it away" in supervisor.open(draft).text


def test_office_sees_no_draft(roof: RoofSite) -> None:
    draft = begin(roof)
    assert "Draft from general-grp/1" in roof.as_(Role.OWNER).open(PLACE).text
    office = roof.as_(Role.OFFICE)
    assert "Draft from" not in office.open(PLACE).text
    assert office.open(draft).status == 403


def test_supervisor_makes_a_version_on_a_phone(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.SUPERVISOR)
    orla = Walker(phone, roof.site.origin)
    orla.open(f"{PLACE}/general-grp/1")
    orla.go("Make a new version from this one")
    orla.fill("What your firm calls its limits", "our-limits")
    orla.save("Begin the draft")
    orla.unfold("Dose charts")
    orla.go("Resin dose")
    orla.fill("To, °C", "9")
    with phone.expect_navigation():
        orla.touch("Add a row after row 1")
    row = phone.get_by_role("group", name="Row 2", exact=True)
    for label, typed in (("From, °C", "9"), ("To, °C", "13"), ("Target, ml/kg", "35"),
                         ("Least, ml/kg", "30"), ("Most, ml/kg", "40")):  # fmt: skip
        row.get_by_label(label).fill(typed)
    orla.fill("Source", LONG_AGO)
    orla.save("Keep in the draft")
    for path in ("", f"/lines/{CHART}", "/lines/stage.deck"):
        phone.goto(f"{roof.site.origin}{orla.path if not path else draft_of(phone, roof)}{path}")
        assert shortcomings(phone) == [], path
    orla.open(draft_of(phone, roof))
    orla.go("Publish as our-limits")
    orla.fill("Why this version is made", "Cold mornings.")
    orla.save("Publish")
    expect(phone.locator("body")).to_contain_text("Cold mornings.")


def draft_of(phone: Page, roof: RoofSite) -> str:
    """Address of the draft that a page is about."""
    path = phone.url.removeprefix(roof.site.origin)
    return "/".join(path.split("/")[:5])
