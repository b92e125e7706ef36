"""The frame in a real browser: what every page of the site has in common."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page

from qa.services.access import Role
from tests.flow.browser import ServedSite, open_page
from tests.flow.measuring import (
    SPACED,
    TWICE_THE_TEXT,
    ZOOMED,
    cut_text,
    overflow_px,
    shortcomings_in_all_lights,
)


@pytest.mark.parametrize("path", ["/help", "/nowhere"])
def test_page_of_the_frame_falls_short_of_nothing(site: ServedSite, phone: Page, path: str) -> None:
    phone.goto(site.origin + path)
    assert shortcomings_in_all_lights(phone) == []


FORM = "/jobs/new"


@pytest.mark.parametrize("change", [SPACED, TWICE_THE_TEXT], ids=["spaced", "twice the text"])
@pytest.mark.parametrize("path", ["/help", FORM, "/nowhere"])
def test_nothing_is_lost_with_other_text(
    site: ServedSite, phone: Page, path: str, change: str
) -> None:
    site.sign_in(phone, Role.INSTALLER)
    phone.goto(site.origin + path)
    phone.evaluate(change)
    assert (overflow_px(phone), cut_text(phone)) == (0, [])


@pytest.mark.parametrize("path", ["/help", FORM, "/nowhere"])
def test_nothing_is_lost_at_400_percent(site: ServedSite, browser: Browser, path: str) -> None:
    with open_page(browser, ZOOMED) as page:
        site.sign_in(page, Role.INSTALLER)
        page.goto(site.origin + path)
        assert (overflow_px(page), cut_text(page)) == (0, [])
        bar = page.locator(".bar")
        assert bar.evaluate("e => getComputedStyle(e).position") == "static"


def test_focus_can_be_seen(site: ServedSite, desk: Page) -> None:
    desk.goto(site.origin + "/help")
    widths = []
    for _ in range(6):
        desk.keyboard.press("Tab")
        widths.append(
            desk.evaluate(
                "() => { const s = getComputedStyle(document.activeElement);"
                " return s.outlineStyle === 'none' ? 0 : parseFloat(s.outlineWidth); }"
            )
        )
    assert min(widths) >= 3


def test_page_asks_no_other_host(site: ServedSite, phone: Page) -> None:
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.goto(site.origin + "/help")
    assert [url for url in asked if not url.startswith((site.origin, "data:"))] == []
