"""A job on one page at the desk: findings, drawings, the story, and asking for one more photo."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Page, expect

from qa.services.access import Role
from qa.web import clock
from tests.flow.browser import ServedSite
from tests.flow.link_holder import add_photo
from tests.flow.measuring import (
    broken_colours,
    faint_text,
    lost,
    lost_by_change,
    shortcomings,
    unfold,
)
from tests.flow.roof_visitor import RoofSite
from tests.house import jpeg
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos

WORDS = "The corner by the outlet, close"


def test_whole_job_falls_short_of_nothing_in_sun_and_dark(
    site: ServedSite, phone: Page, desk: Page, tmp_path: Path
) -> None:
    with clock_at(MORNING):
        job = put_job_of_small_photos(site, tmp_path, until=None)
        for page in (phone, desk):
            site.sign_in(page, Role.SUPERVISOR)
            page.goto(f"{site.origin}/desk/jobs/{job}")
            unfold(page)
            assert shortcomings(page) == []
            assert lost(page) == []
            page.emulate_media(color_scheme="dark")
            assert [*faint_text(page), *broken_colours(page)] == []
        assert list(lost_by_change(phone)) == []
        heads = [head.lower() for head in desk.locator("h2").all_inner_texts()]
        assert heads[0] == "outside limits"
        assert {"the bays", "doses on the chart", "consumption", "corrections"} <= set(heads)
        assert desk.locator("svg[style], svg [style]").count() == 0
        images = desk.locator(".story img")
        assert images.count() > 10
        whole = "all => all.every(i => i.loading === 'lazy' && i.width > 0 && i.height > 0)"
        assert images.evaluate_all(whole)
        assert not images.last.evaluate("image => image.complete")
        images.last.scroll_into_view_if_needed()
        desk.wait_for_function(
            "() => [...document.querySelectorAll('.story img')].at(-1).naturalWidth"
        )


def test_asked_photo_stands_on_the_job_page_until_it_is_there(roof: RoofSite) -> None:
    supervisor, installer = roof.as_(Role.SUPERVISOR), roof.as_(Role.INSTALLER)
    page = supervisor.open(f"/desk{roof.job}/photos/ask?stage=deck")
    assert page.send(text=WORDS).location == f"/desk{roof.job}"
    assert WORDS in supervisor.open(f"/desk{roof.job}").text
    for path in (roof.job, f"{roof.job}/stages/deck", f"{roof.job}/stages/topcoat"):
        assert f"Photo asked for: {WORDS}" in installer.open(path).text
    asked = installer.open(f"{roof.job}/photos?stage=deck&caption={WORDS}")
    assert WORDS in asked.fields["caption"]


def test_finding_shows_the_photos_of_its_open_nonconformity(roof: RoofSite) -> None:
    desk = roof.as_(Role.SUPERVISOR)
    roof.add("measurement", value=25.0, area="main")
    roof.add("nonconformity", stage="deck", check="deck.moisture", area="main")
    caption = "Dark patch by the outlet"
    add_photo(roof, jpeg(1), stage="deck", nonconformity=1, caption=caption)
    outside = desk.open(f"/desk{roof.job}").text.partition("<h2>Nonconformities")[0]
    assert caption in outside


def test_asking_without_words_keeps_the_form(roof: RoofSite) -> None:
    page = roof.as_(Role.OFFICE).open(f"/desk{roof.job}/photos/ask")
    assert page.send(text=" ").status_code == 400


def test_both_versions_of_a_correction_stand_beside_each_other(roof: RoofSite, desk: Page) -> None:
    entry = roof.add("conditions", stage="laminate", deck_c=2).entry
    wrong = roof.add("conditions", stage="laminate", deck_c=21).entry
    body = {"stage": "laminate", "deck_c": 12}
    roof.add("correction", corrects=entry, reason="Misread", body=body)
    roof.add("correction", corrects=wrong, reason="Another roof", body=None)
    roof.site.sign_in(desk, Role.OFFICE)
    desk.goto(f"{roof.site.origin}/desk{roof.job}")
    expect(desk.locator(".changes")).to_contain_text("2")
    expect(desk.locator(".changes ins").first).to_contain_text("12")
    expect(desk.get_by_role("heading", name="Withdrawn")).to_be_visible()
    assert shortcomings(desk) == []


def test_release_is_one_touch_from_the_page_for_who_may(roof: RoofSite) -> None:
    roof.add("sign_off", stage="deck", decision="complete", statement="Done.")
    address = f"{roof.job}/stages/deck/release?from=desk"
    assert address in roof.as_(Role.SUPERVISOR).open(f"/desk{roof.job}").text
    office = roof.as_(Role.OFFICE).open(f"/desk{roof.job}").text
    assert address not in office
    assert "It waits for a supervisor." in office
    assert roof.as_(Role.INSTALLER).open(f"/desk{roof.job}").status == 403


def test_many_readings_in_a_row_are_one_line(roof: RoofSite) -> None:
    begun = clock.now() - timedelta(hours=9)
    for minute in range(30):
        roof.add("conditions", stage="deck", air_c=15, at=begun + timedelta(minutes=minute))
    roof.add("conditions", stage="laminate", deck_c=2, at=begun + timedelta(hours=1))
    for minute in range(3):
        roof.add("conditions", stage="laminate", at=begun + timedelta(hours=2, minutes=minute))
    text = roof.as_(Role.SUPERVISOR).open(f"/desk{roof.job}").text
    assert text.count("Conditions: 30 readings") == 1
    assert text.count('">Conditions: deck ') == 4


def test_story_kept_for_a_head_is_told_anew_after_the_next_entry(roof: RoofSite) -> None:
    supervisor = roof.as_(Role.SUPERVISOR)
    roof.add("note", text="First word.", stage="deck")
    address = f"/desk{roof.job}"
    first = supervisor.open(address).text
    assert first.count("First word.") == supervisor.open(address).text.count("First word.") == 1
    roof.add("note", text="Second word.", stage="deck")
    assert "Second word." in supervisor.open(address).text
