"""Stirring and gel clocks: they go by the time of day, so a sleeping phone loses nothing.

The browser's clock is the test's; nothing waits. Gel times are estimates, never exact.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from qa.services.access import Role
from qa.web import clock
from tests.factories import LOTS
from tests.flow.measuring import shortcomings
from tests.flow.roof_visitor import RoofSite
from tests.flow.touches import Thumb

_EARS = """
window.spoken = []; window.buzzed = 0;
Object.defineProperty(window, 'speechSynthesis', { value: { speak: (u) => spoken.push(u.text) } });
Object.defineProperty(navigator, 'vibrate', { value: () => { buzzed += 1; return true; } });
"""
_MINUTE = 60


@pytest.fixture
def roof(roof: RoofSite) -> RoofSite:
    """A job in its laminate stage, with batches and a fresh reading."""
    for fields in LOTS:
        roof.add("lot", **fields)
    for stage in ("survey", "deck", "trims", "bandage"):
        roof.add("sign_off", stage=stage)
    read_at = clock.now() - timedelta(minutes=5)
    roof.add("conditions", at=read_at, deck_c=14.0, air_c=15.0, humidity_pct=60)
    return roof


@pytest.fixture
def phone(phone: Page, roof: RoofSite) -> Page:
    """A phone in the installer's hand, whose clock is the test's and whose voice is heard."""
    roof.site.sign_in(phone, Role.INSTALLER)
    phone.add_init_script(_EARS)
    phone.clock.install(time=clock.now())
    return phone


def _open_mix(roof: RoofSite, phone: Page) -> None:
    phone.goto(f"{roof.site.origin}{roof.job}/mix")


def _save_mix(roof: RoofSite, phone: Page, kg: str = "5", ml: str = "150") -> None:
    _open_mix(roof, phone)
    phone.fill("#kg", kg)
    phone.fill("#catalyst_ml", ml)
    phone.get_by_role("button", name="Save the mix").tap()
    phone.wait_for_url("**/mixes/*")


def test_mix_takes_six_touches_and_one_figure(roof: RoofSite, phone: Page) -> None:
    phone.goto(f"{roof.site.origin}{roof.job}")
    thumb = Thumb(phone)
    thumb.touch(phone.locator('a[href*="/mix"]').first)
    phone.wait_for_url("**/mix?*")
    thumb.touch(phone.get_by_role("button", name="5", exact=True))
    expect(phone.locator("#target-ml")).to_contain_text("150")
    thumb.touch("Start stirring")
    phone.clock.fast_forward(31_000)
    thumb.touch("Catalyst in: stir on")
    expect(phone.locator("#catalyst_ml")).to_be_focused()
    thumb.type("150")
    expect(phone.locator("#dose-told")).to_have_text("30 ml/kg: inside the accepted band")
    phone.clock.fast_forward(31_000)
    thumb.touch("Save the mix")
    phone.wait_for_url("**/mixes/mix-1")
    assert (thumb.touches, thumb.typed) <= (6, 1)
    (mix,) = roof.read().job.mixes
    assert (mix.body.kg, mix.body.catalyst_ml) == (5, 150)
    assert 31 <= (mix.body.stirred_before_s or 0) <= 35
    assert 31 <= (mix.body.stirred_after_s or 0) <= 35


def test_target_needs_no_request(roof: RoofSite, phone: Page) -> None:
    _open_mix(roof, phone)
    phone.wait_for_load_state("networkidle")
    phone.context.set_offline(True)
    for _ in range(2):
        phone.get_by_role("button", name="Half a kilogram more").tap()
    expect(phone.locator("#target-ml")).to_contain_text("120")  # 4 kg at 30 ml/kg
    phone.fill("#deck_c", "12,9")
    expect(phone.locator("#target-ml")).to_contain_text("160")
    expect(phone.locator("#target-change")).to_contain_text("in another row of the chart")
    phone.fill("#deck_c", "4.9")
    expect(phone.locator("#target-ml")).to_be_hidden()
    expect(phone.locator("#target-refusal")).to_contain_text("Do not mix, because")


def test_target_is_read_at_arm_s_length(roof: RoofSite, phone: Page) -> None:
    _open_mix(roof, phone)
    size = phone.locator("#target-ml span").first.evaluate(
        "(e) => parseFloat(getComputedStyle(e).fontSize)"
    )
    assert size >= 64  # 4 rem


def test_stirring_is_timed_and_says_when_it_is_enough(roof: RoofSite, phone: Page) -> None:
    _open_mix(roof, phone)
    phone.get_by_role("button", name="Start stirring").tap()
    phone.clock.fast_forward(20_000)
    assert phone.evaluate("spoken") == []
    phone.clock.fast_forward(11_000)
    assert phone.evaluate("spoken") == ["Stirred long enough. Catalyst now."]
    phone.get_by_role("button", name="Stop").tap()
    seconds = int(phone.locator("#stirred_before_s").input_value())
    assert 31 <= seconds <= 33


def test_stirring_goes_on_through_a_reload(roof: RoofSite, phone: Page) -> None:
    _open_mix(roof, phone)
    phone.get_by_role("button", name="Start stirring").tap()
    phone.clock.fast_forward(10_000)
    phone.reload()
    phone.clock.fast_forward(25_000)
    phone.get_by_role("button", name="Stop").tap()
    assert int(phone.locator("#stirred_before_s").input_value()) >= 35


def test_gel_clock_counts_down_from_the_save(roof: RoofSite, phone: Page) -> None:
    """5 kg, 150 ml, 14 °C: about 17 min by the fitted leaflet, beyond its points."""
    _save_mix(roof, phone)
    expect(phone.locator("#gel-unit")).to_have_text("to the estimated gel time")
    minutes, _, _ = phone.locator("#gel-figure").inner_text().partition(":")
    phone.clock.fast_forward(5 * _MINUTE * 1000)
    later, _, _ = phone.locator("#gel-figure").inner_text().partition(":")
    assert int(minutes) - int(later) in (5, 6)
    expect(phone.locator("#gel-words")).to_contain_text("an estimate, never exact")


def test_gel_clock_stands_on_every_page_and_goes_when_the_bucket_is_empty(
    roof: RoofSite, phone: Page
) -> None:
    _save_mix(roof, phone)
    phone.goto(f"{roof.site.origin}/help")
    line = phone.locator("#clocks")
    expect(line).to_contain_text("mix-1, 5 kg")
    expect(line).to_contain_text("an estimate")
    line.get_by_role("link").tap()
    phone.get_by_role("button", name="Bucket empty").tap()
    expect(phone.locator("[data-emptied]")).to_be_visible()
    phone.goto(f"{roof.site.origin}/help")
    expect(phone.locator("#clocks")).to_have_count(0)


def test_phone_that_slept_says_at_once_what_came_about(roof: RoofSite, phone: Page) -> None:
    _save_mix(roof, phone)
    phone.goto(f"{roof.site.origin}{roof.job}")
    phone.clock.fast_forward(25 * _MINUTE * 1000)
    news = phone.locator("[data-news]")
    expect(news).to_contain_text("Bucket mix-1: estimated gel time. Look into it.")
    expect(news).to_contain_text("min ago")
    assert len(phone.evaluate("spoken")) == 1
    assert "Bucket mix-1" in phone.title()
    phone.reload()
    expect(phone.locator("#clocks")).to_contain_text("estimated gel time passed")
    assert phone.evaluate("spoken") == []  # said once


def test_several_buckets_have_a_line_each(roof: RoofSite, phone: Page) -> None:
    _save_mix(roof, phone)
    _save_mix(roof, phone, kg="2", ml="60")
    phone.goto(f"{roof.site.origin}{roof.job}")
    expect(phone.locator("#clocks li")).to_have_count(2)
    expect(phone.locator("#clocks")).to_contain_text("mix-2, 2 kg")
    phone.evaluate("document.querySelector('.bar')?.style.setProperty('position', 'static')")
    assert shortcomings(phone) == []


def test_gel_clock_runs_without_a_signal(roof: RoofSite, phone: Page) -> None:
    _open_mix(roof, phone)
    phone.fill("#catalyst_ml", "90")
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Save the mix").tap()
    expect(phone.locator("#told")).to_contain_text("not saved yet")
    expect(phone.locator("#clocks")).to_contain_text("gels in about")
    phone.context.set_offline(False)
    phone.clock.fast_forward(2 * _MINUTE * 1000)
    phone.get_by_role("button", name="Save the mix").tap()
    phone.wait_for_url("**/mixes/mix-1")
    assert len(phone.evaluate("JSON.parse(localStorage.getItem(Object.keys(localStorage)"
                              ".find((key) => key.startsWith('clocks:'))))")) == 1  # fmt: skip
    (mix,) = roof.read().job.mixes
    assert clock.now() - mix.at < timedelta(minutes=3)


def test_phone_whose_clock_is_a_day_off_counts_all_the_same(roof: RoofSite, phone: Page) -> None:
    phone.clock.set_system_time(clock.now() + timedelta(days=1))
    _save_mix(roof, phone)
    expect(phone.locator("#told")).to_contain_text("clock is 1 day ahead")
    expect(phone.locator("#gel-unit")).to_have_text("to the estimated gel time")
