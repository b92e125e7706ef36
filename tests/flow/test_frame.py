"""The frame in a real browser: what every page of the site has in common."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page

from tests.flow.browser import DESK, PHONE, ServedSite, open_page
from tests.flow.measuring import shortcomings


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
@pytest.mark.parametrize("dark", [False, True], ids=["sun", "dark"])
@pytest.mark.parametrize("path", ["/help", "/nowhere"])
def test_page_of_the_frame_falls_short_of_nothing(
    site: ServedSite, browser: Browser, size: tuple[int, int], dark: bool, path: str
) -> None:
    with open_page(browser, size, dark=dark) as page:
        page.goto(site.origin + path)
        assert shortcomings(page) == []


def test_page_asks_no_other_host(site: ServedSite, phone: Page) -> None:
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.goto(site.origin + "/help")
    assert [url for url in asked if not url.startswith((site.origin, "data:"))] == []
