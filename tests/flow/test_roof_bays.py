"""Bays: the map to scale, one look in three touches, and both looks of a repaired bay."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import pytest
from markupsafe import escape
from PIL import Image
from playwright.sync_api import Page, expect

from qa.record.kinds.readings import Examination
from qa.services.access import Role
from tests.flow.browser import PHONE
from tests.flow.measuring import shortcomings_in_all_lights
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.flow.touches import Thumb


def _bays(roof: RoofSite) -> str:
    return f"{roof.job}/areas/main/bays"


def _page(roof: RoofSite, bay: str = "r1b1") -> OpenPage:
    return roof.as_(Role.INSTALLER).open(f"{_bays(roof)}/{bay}")


def _looks(roof: RoofSite) -> list[Examination]:
    return [one.body for one in roof.read().job.examinations]


def _photo(shade: int = 120) -> tuple[BytesIO, str]:
    content = BytesIO()
    Image.new("RGB", (64, 48), (shade, 90, 60)).save(content, "JPEG")
    content.seek(0)
    return content, "bay.jpg"


def test_map_and_list_name_every_bay(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(_bays(roof))
    assert page.status == 200
    for key in ("r1b1", "r4b6", "r5b6"):
        assert page.text.count(f">{key}<") >= 1
    assert "30 not examined" in page.text
    assert page.text.count(f'href="{_bays(roof)}/r1b1"') == 3  # map, list and “next”


def test_transparent_is_saved_at_once(roof: RoofSite) -> None:
    response = _page(roof).send(wet_out="transparent")
    plan = roof.as_(Role.INSTALLER).follow(response)
    assert plan.path == _bays(roof)
    assert "1 transparent" in plan.text
    (look,) = _looks(roof)
    assert (look.pinholes, look.trapped_air, look.examined_m2) == (0, 0, 1)


@pytest.mark.parametrize("look", ["white_patches", "dry"])
def test_what_is_not_transparent_is_asked_about_and_then_saved(roof: RoofSite, look: str) -> None:
    page = _page(roof)
    asked = page.send(wet_out=look)
    assert asked.status_code == 200
    assert "how large?" in asked.text
    assert _looks(roof) == []
    saved = page.send(wet_out=look, asked="yes")
    assert saved.location == _bays(roof)
    assert _looks(roof)[0].wet_out == look


def test_size_word_and_photograph_are_saved_with_the_look(roof: RoofSite) -> None:
    page = _page(roof)
    saved = page.send(
        wet_out="white_patches", opaque_cm2="40", words="Rolled again.", photos=_photo()
    )
    assert saved.status_code == 303
    job = roof.read().job
    assert _looks(roof)[0].opaque_cm2 == 40
    assert job.notes[0].body.text == "Bay r1b1: Rolled again."
    assert (job.photos[0].body.area, job.photos[0].body.bay) == ("main", "r1b1")


def test_pinholes_are_outside_from_the_first(roof: RoofSite) -> None:
    """0 per m² at release: common practice; ASTM D2563 for the terms."""
    page = _page(roof)
    response = page.send(wet_out="transparent", pinholes="1")
    assert "/outside" in response.location
    plan = roof.as_(Role.INSTALLER).open(_bays(roof))
    assert "1 transparent, but outside limits" in plan.text


def test_passes_of_the_last_bay_are_proposed_for_the_next(roof: RoofSite) -> None:
    assert _page(roof).fields["passes"] == [""]
    _page(roof).send(wet_out="transparent", passes="5")
    page = roof.as_(Role.INSTALLER).open(f"{_bays(roof)}/r1b2")
    assert page.fields["passes"] == ["5"]
    page.send(wet_out="transparent")
    assert [look.passes for look in _looks(roof)] == [5, 5]


def test_word_about_a_bay_leads_back_to_the_bays(roof: RoofSite) -> None:
    tam = roof.as_(Role.INSTALLER)
    outside = tam.follow(_page(roof).send(wet_out="transparent", pinholes="1"))
    assert outside.send(word="Sealed with a brush.").location == _bays(roof)


def test_repaired_bay_is_looked_at_again_and_shows_both(roof: RoofSite) -> None:
    first = _page(roof)
    first.send(wet_out="dry", opaque_cm2="900", photos=_photo(100))
    again = _page(roof)
    assert again.fields["after_repair"] == ["yes"]
    again.send(wet_out="transparent", photos=_photo(200))
    looks = roof.read().job.examinations
    assert looks[1].body.after_repair is True
    assert looks[1].body.replaces == (looks[0].id,)
    page = _page(roof)
    assert "put right" in page.text
    before, after = page.text.index("Looked at"), page.text.index("After repair")
    assert after < before
    assert page.text[after:before].count("<img") == 1
    assert page.text[before:].count("<img") == 1
    assert "1 repaired, clear after" in roof.as_(Role.INSTALLER).open(_bays(roof)).text


def test_second_look_without_a_repair_replaces_nothing(roof: RoofSite) -> None:
    _page(roof).send(wet_out="dry", asked="yes")
    _page(roof).send(wet_out="transparent", after_repair=None)
    assert _looks(roof)[1].replaces is None
    assert _looks(roof)[1].after_repair is None


def test_impossible_figures_are_refused_and_kept_as_typed(roof: RoofSite) -> None:
    page = _page(roof)
    impossible: list[tuple[str, Any]] = [
        ("pinholes", "-1"), ("pinholes", "1.5"), ("pinholes", "many"), ("pinholes", "1e300"),
        ("examined_m2", "0"), ("examined_m2", "-2"), ("examined_m2", ""),
        ("opaque_cm2", "-1"), ("opaque_cm2", "1e12"), ("passes", "5000"),
        ("thickness_mm", "1.2 thick"), ("thickness_mm", "0"), ("wet_out", "shiny"),
        ("wet_out", None), ("words", "x" * 200_000),
    ]  # fmt: skip
    for field, typed in impossible:
        response = page.send(**({"wet_out": "transparent"} | {field: typed}))
        if field != "words":  # however long, it is what somebody said
            assert response.status_code == 400, (field, typed)
            assert _looks(roof) == []
        if isinstance(typed, str) and field not in ("wet_out", "words"):
            assert escape(typed) in response.text


def test_file_that_is_no_photograph_is_told_and_nothing_is_saved(roof: RoofSite) -> None:
    response = _page(roof).send(
        wet_out="dry", words="See the photo.", photos=(BytesIO(b"no picture"), "bay.jpg")
    )
    assert response.status_code == 400
    assert "See the photo." in response.text
    assert _looks(roof) == []


def test_thickness_takes_several_figures(roof: RoofSite) -> None:
    _page(roof).send(wet_out="transparent", thickness_mm="1,4 1.5; 1.3", passes="5")
    assert _looks(roof)[0].thickness_mm == (1.4, 1.5, 1.3)
    assert _looks(roof)[0].passes == 5


def test_two_tabs_looking_at_one_bay_are_two_looks(roof: RoofSite) -> None:
    one, other = _page(roof), _page(roof)
    one.send(wet_out="transparent")
    other.send(wet_out="dry", asked="yes")
    one.send(wet_out="transparent")  # the same form once more is the same look
    assert [look.wet_out for look in _looks(roof)] == ["transparent", "dry"]


@pytest.mark.parametrize("path", ["areas/moon/bays", "areas/main/bays/r9b9", "areas/main/bays/x"])
def test_place_that_is_not_there_is_a_page_that_says_so(roof: RoofSite, path: str) -> None:
    assert roof.as_(Role.INSTALLER).open(f"{roof.job}/{path}").status == 404


def test_office_sees_the_bays_and_touches_none(roof: RoofSite) -> None:
    page = roof.as_(Role.OFFICE).open(_bays(roof))
    assert page.status == 200
    assert f"{_bays(roof)}/r1b1" not in page.text
    assert roof.as_(Role.OFFICE).open(f"{_bays(roof)}/r1b1").status == 403


def test_bay_takes_three_touches(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{_bays(roof)}")
    thumb = Thumb(phone)
    thumb.touch(phone.locator(".bay-map a[aria-label^='r1b2,']"))
    phone.wait_for_url("**/bays/r1b2")
    thumb.touch("White patches")
    expect(phone.locator("#opaque_cm2")).to_be_focused()
    thumb.type("25")
    thumb.touch("Save: white patches")
    phone.wait_for_url("**/bays")
    assert (thumb.touches, thumb.typed) == (3, 1)
    assert _looks(roof)[0].opaque_cm2 == 25
    thumb = Thumb(phone)
    thumb.touch("Next: r1b1")
    phone.wait_for_url("**/bays/r1b1")
    thumb.touch("Transparent")
    phone.wait_for_url("**/bays")
    assert thumb.touches == 2
    expect(phone.locator(".map-key")).to_contain_text("1 white patches")


def test_pinholes_are_stepped(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{_bays(roof)}/r1b1")
    for _ in range(3):
        phone.get_by_role("button", name="Pinholes: 1 more").tap()
    phone.get_by_role("button", name="Pinholes: 1 less").tap()
    phone.get_by_role("button", name="Transparent").tap()
    phone.wait_for_url("**/outside")
    assert _looks(roof)[0].pinholes == 2


def test_pages_of_bays_fall_short_of_nothing(roof: RoofSite, phone: Page) -> None:
    first = roof.add("examination", bay="r1b1", wet_out="dry")
    roof.add("examination", bay="r1b1", after_repair=True, replaces=[first.entry])
    roof.add("examination", bay="r2b1", wet_out="white_patches")
    roof.add("examination", bay="r2b2", pinholes=2)
    roof.site.sign_in(phone, Role.INSTALLER)
    for path in ("", "/r1b1"):
        phone.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
        phone.goto(f"{roof.site.origin}{_bays(roof)}{path}")
        phone.evaluate("document.querySelector('.bar').style.position = 'static'")
        assert shortcomings_in_all_lights(phone) == []
