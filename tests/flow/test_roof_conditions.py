"""Readings of weather and deck: three numbers, one touch, and whether to lay."""

from __future__ import annotations

import pytest
from markupsafe import escape
from playwright.sync_api import Page, expect

from qa.record.kinds.readings import Conditions
from qa.services.access import Role
from tests.factories import INSTRUMENTS
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import OpenPage, RoofSite
from tests.flow.touches import Thumb

FINE = {"air_c": "20", "humidity_pct": "60", "deck_c": "20"}


@pytest.fixture
def roof(roof: RoofSite) -> RoofSite:
    """A job in its laminate stage, with instruments."""
    for fields in INSTRUMENTS:
        roof.add("instrument", **fields)
    for stage in ("survey", "deck", "trims", "bandage"):
        roof.add("sign_off", stage=stage)
    return roof


def _page(roof: RoofSite, role: Role = Role.INSTALLER) -> OpenPage:
    return roof.as_(role).open(f"{roof.job}/conditions")


def _last(roof: RoofSite) -> Conditions:
    return roof.read().job.conditions[-1].body


def test_reading_is_answered_with_lay(roof: RoofSite) -> None:
    answered = roof.as_(Role.INSTALLER).follow(_page(roof).send(**FINE))
    assert '<span class="within">Lay.</span>' in answered.text
    assert "Dew point 12.0 °C; the deck is 8.0 K above it." in answered.text
    assert (_last(roof).stage, _last(roof).air_c) == ("laminate", 20)


def test_each_limit_is_a_reason_with_its_figure(roof: RoofSite) -> None:
    outside = {
        "deck_c": ("35.1", "the temperature of the deck surface is 35.1 °C"),
        "air_c": ("4.9", "the temperature of the air is 4.9 °C"),
        "moisture_pct": ("18.1", "is 18.1 %"),
        "rain": ("yes", "it is raining"),
        "humidity_pct": ("85.1", "the relative humidity of the air is 85.1 %"),
    }
    for field, (typed, reason) in outside.items():
        response = _page(roof).send(**(FINE | {field: typed}))
        answered = roof.as_(Role.INSTALLER).follow(response)
        assert "Do not lay, because" in answered.text, field
        assert reason in answered.text
        assert "Photograph it and say a word" in answered.text


def test_values_on_their_limits_are_within(roof: RoofSite) -> None:
    on_limit = {"air_c": "5", "deck_c": "5", "humidity_pct": "60", "moisture_pct": "18"}
    answered = roof.as_(Role.INSTALLER).follow(_page(roof).send(**on_limit, rain="no"))
    assert "Lay." in answered.text
    assert _last(roof).rain is False


def test_impossible_figures_are_refused_and_kept_as_typed(roof: RoofSite) -> None:
    page = _page(roof)
    impossible = [
        ("air_c", "warm"), ("air_c", "-61"), ("air_c", "68F"), ("humidity_pct", "0"),
        ("humidity_pct", "101"), ("humidity_pct", "−5"), ("deck_c", "1" * 40),
        ("deck_c", "<b>5"), ("wind_m_per_s", "999"), ("moisture_pct", "-1"),
        ("instruments", "none of these"), ("area", "moon"), ("rain", "perhaps"),
    ]  # fmt: skip
    for field, typed in impossible:
        response = page.send(**(FINE | {field: typed}))
        assert response.status_code == 400, (field, typed)
        if field not in ("instruments", "area", "rain"):
            assert escape(typed) in response.text
    assert page.send().status_code == 400  # nothing at all was read
    assert roof.read().job.conditions == ()


def test_decimal_comma_is_read(roof: RoofSite) -> None:
    _page(roof).send(air_c="−1,5", humidity_pct="62,5", deck_c="0,5")
    assert (_last(roof).air_c, _last(roof).humidity_pct, _last(roof).deck_c) == (-1.5, 62.5, 0.5)


def test_instruments_of_the_last_reading_are_ticked(roof: RoofSite) -> None:
    assert "instruments" not in _page(roof).fields
    _page(roof).send(**FINE, instruments=["thermometer", "hygrometer"])
    assert _page(roof).fields["instruments"] == ["thermometer", "hygrometer"]
    assert _page(roof, Role.SUPERVISOR).fields["instruments"] == ["thermometer", "hygrometer"]
    _page(roof, Role.SUPERVISOR).send(**FINE, instruments=["thermometer"])
    assert _page(roof).fields["instruments"] == ["thermometer", "hygrometer"]


def test_reading_sent_twice_stands_once(roof: RoofSite) -> None:
    page = _page(roof)
    assert {page.send(**FINE).status_code, page.send(**FINE).status_code} == {303}
    assert len(roof.read().job.conditions) == 1


def test_moisture_is_read_in_the_deck_stage_without_an_answer(roof: RoofSite) -> None:
    page = roof.as_(Role.INSTALLER).open(f"{roof.job}/conditions?stage=deck")
    answered = roof.as_(Role.INSTALLER).follow(page.send(moisture_pct="14"))
    assert "boards 14 %" in answered.text
    assert "lay" not in answered.text.split("<main")[1].lower().split("<form")[0]
    assert _last(roof).stage == "deck"


def test_no_rain_alone_says_nothing_about_laying(roof: RoofSite) -> None:
    answered = roof.as_(Role.INSTALLER).follow(_page(roof).send(rain="no"))
    assert "no rain" in answered.text
    assert 'class="lay"><span class=' not in answered.text


def test_conditions_take_three_numbers_and_one_touch(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/conditions")
    thumb = Thumb(phone)
    expect(phone.locator("#air_c")).to_be_focused()
    thumb.type("15")
    thumb.next()
    thumb.type("70")
    thumb.next()
    thumb.type("12,5")
    expect(phone.locator("#now-answer")).to_have_text("Do not lay, because "
        "the deck surface temperature less dew point of the air is 2.93 K, not at least 3 K."
    )  # fmt: skip
    before = phone.locator("#now-answer").inner_text()
    thumb.touch("Save")
    saved = phone.locator(".answer .lay").first
    expect(phone.locator("#told")).to_contain_text("Saved, ")
    assert saved.inner_text() == before  # the page and the record say it in the same words
    assert (thumb.touches, thumb.typed) == (1, 3)


def test_answer_stands_before_anything_is_saved(roof: RoofSite, phone: Page) -> None:
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.goto(f"{roof.site.origin}{roof.job}/conditions")
    for name, value in FINE.items():
        phone.fill(f"#{name}", value)
    expect(phone.locator("#now-answer")).to_have_text("Lay.")
    expect(phone.locator("#now-dew")).to_have_text("Dew point 12.0 °C; the deck is 8.0 K above it.")
    phone.get_by_text("It rains").tap()
    expect(phone.locator("#now-answer")).to_have_text("Do not lay, because it is raining.")
    phone.fill("#deck_c", "10")
    expect(phone.locator("#now-dew")).to_contain_text("2.0 K below it")
    phone.evaluate("document.querySelector('.bar').style.position = 'static'")
    assert shortcomings(phone) == []
    assert roof.read().job.conditions == ()
