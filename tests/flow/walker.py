"""Somebody who walks through the site in a browser by what stands there: links, labels, buttons.

    wren = Walker(page, site.origin)
    wren.go("Start a job")
    wren.fill("Client’s name", "A. Client")
    wren.save("Start, and draw the roof")

The same steps work with script and without.
"""

from __future__ import annotations

import re

from playwright.sync_api import FilePayload, Locator, Page, expect

from tests.accounts import PASSWORD
from tests.house import jpeg


class Walker:
    """A person at a browser of their own.

    Attributes:
        page: what they look at.
        scripted: whether pages run their scripts.
    """

    def __init__(self, page: Page, origin: str, *, scripted: bool = True) -> None:
        self.page = page
        self.scripted = scripted
        self._origin = origin

    @property
    def path(self) -> str:
        """Where they are, without the query."""
        return self.page.url.removeprefix(self._origin).partition("?")[0]

    def open(self, path: str) -> None:
        """Opens an address of the site."""
        answer = self.page.goto(self._origin + path)
        assert answer is not None
        assert answer.status == 200, (path, answer.status)

    def sign_in(self, email: str) -> None:
        """Signs in by the password that everybody of the tests has."""
        self.open("/sign-in")
        self.prove(email)

    def prove(self, email: str) -> None:
        """Fills in the sign-in page that is open."""
        self.fill("E-mail", email)
        self.fill("Password", PASSWORD)
        self.save("Sign in")

    def accept(self, link: str) -> None:
        """Opens an invitation, and makes the account that it offers."""
        self.page.goto(link)
        self.fill("A password", PASSWORD)
        self.save("Make my account")

    def go(self, words: str) -> None:
        """Follows the first link that begins so."""
        link = self.page.get_by_role("link", name=_begins(words)).first
        with self.page.expect_navigation():
            link.click()

    def fill(self, label: str, typed: str) -> None:
        """Types into the field whose label begins so."""
        self._field(label).fill(typed)

    def choose(self, label: str, option: str) -> None:
        """Picks from the list whose label begins so."""
        self._field(label).select_option(label=option)

    def tick(self, words: str) -> None:
        """Touches the first target of a choice that says so."""
        self.page.locator("label.target", has_text=words).first.click()

    def unfold(self, words: str) -> None:
        """Opens what is folded away under these words."""
        summary = self.page.locator("summary", has_text=words).first
        if not summary.evaluate("e => e.parentElement.open"):
            summary.click()

    def photograph(self, shade: int) -> None:
        """Takes a photograph, unlike those of other shades, for the form of the page."""
        if self.scripted:
            self.page.wait_for_selector("html[data-photo-queue]")
        self.page.set_input_files("input[data-photo]", [payload(shade)])
        if self.scripted:
            expect(self.page.locator("[data-photos-held] li").last).to_be_visible()

    def save(self, label: str) -> None:
        """Touches the button that says so, and waits for the page that follows."""
        button = self.page.get_by_role("button", name=label, exact=True)
        with self.page.expect_navigation():
            button.click()
        refused = self.page.locator(".problems")
        assert refused.count() == 0, refused.inner_text()

    def touch(self, label: str) -> None:
        """Touches a button that stays on the page."""
        self.page.get_by_role("button", name=label, exact=True).click()

    def sees(self, words: str) -> None:
        """Asserts that the page says so."""
        expect(self.page.locator("body")).to_contain_text(words)

    def all_photos_are_sent(self) -> None:
        """Waits until no photograph waits on this phone."""
        self.page.wait_for_selector("html[data-photo-queue=empty]")

    def _field(self, label: str) -> Locator:
        return self.page.get_by_label(_begins(label)).first


def _begins(words: str) -> re.Pattern[str]:
    return re.compile(rf"^\s*{re.escape(words)}")


def payload(shade: int) -> FilePayload:
    """A small picture as a camera would hand it over."""
    content = jpeg(shade, size_px=(320, 240))
    return {"name": f"IMG_{shade}.jpg", "mimeType": "image/jpeg", "buffer": content}
