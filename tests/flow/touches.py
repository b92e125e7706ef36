"""A thumb on a phone: what it touches is counted, and so are the figures that it types."""

from __future__ import annotations

from playwright.sync_api import Locator, Page


class Thumb:
    """Touches a page as a person would, and counts.

    Attributes:
        touches: how often something was touched.
        typed: how many figures were typed.
    """

    def __init__(self, page: Page) -> None:
        self.page = page
        self.touches = 0
        self.typed = 0

    def touch(self, target: str | Locator) -> None:
        """Touches a target by its accessible name or as it was found."""
        self.touches += 1
        found = self._named(target) if isinstance(target, str) else target
        found.tap()

    def type(self, figure: str) -> None:
        """Types a figure into whatever has the focus."""
        self.typed += 1
        self.page.keyboard.type(figure)

    def next(self) -> None:
        """The keyboard's own key for the next field; the thumb is there already."""
        self.page.keyboard.press("Enter")

    def _named(self, name: str) -> Locator:
        links = self.page.get_by_role("link", name=name)
        return links.or_(self.page.get_by_role("button", name=name)).first
