"""Every page of the site, as each role sees it, on a phone and a desk, in sun and in the dark.

The job is the demonstration on the morning of its main day, and once more as it was handed over.
A page that another role sees with the same elements is not looked at again.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request

from qa.services.access import Role
from qa.services.reading import read_job
from tests.flow.browser import PHONE, ServedSite, open_page, served
from tests.flow.measuring import lost_by_change, moving, shortcomings_in_all_lights, unfold
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos
from tests.pictures.objects import NOT_THERE, Address, addresses

MOST_BYTES = 60_000
LED_AWAY = {303, 403, 404}
NO_PAGES = {"account-welcome", "roof-bar_code", "roof-close", "roof-decide", "roof-pack"}
"""What leads on, or only takes a form of another page."""
IN_THE_MIDDLE = {"account-second"}
"""Of a sign-in half done; `test_account_pages` looks at it."""
_ELEMENT = re.compile(r'<([a-z0-9]+)(?:[^>]*?\bclass="([^"]*)")?')
_BYTES = """
() => performance.getEntriesByType('navigation').concat(performance.getEntriesByType('resource'))
  .filter((one) => !one.name.includes('/photos/'))
  .reduce((sum, one) => sum + one.encodedBodySize, 0)
"""


Seen = dict[str, set[tuple[str, str]]]


@dataclass(frozen=True, kw_only=True)
class FilledSite:
    """A site with a job, and its pages.

    Attributes:
        seen: elements of each page that were looked at.
        files: what answered with a file or figures, and is no page.
    """

    site: ServedSite
    pages: tuple[Address, ...]
    seen: Seen
    files: set[str] = field(default_factory=set)

    def views(self, page: Page) -> Iterator[Address]:
        """The pages that have something new for who is signed in."""
        for address in self.pages:
            answer = page.request.get(self.site.origin + address.path, max_redirects=0)
            if answer.status in LED_AWAY and not address.name.startswith("error"):
                continue
            if "html" not in answer.headers["content-type"]:
                self.files.add(address.name)
                continue
            elements = set(_ELEMENT.findall(answer.text()))
            seen = self.seen.setdefault(address.name, set())
            if not elements <= seen:
                seen |= elements
                yield address


@pytest.fixture(scope="module")
def seen() -> Seen:
    """Elements of each page that were looked at, in whichever state of the job."""
    return {}


def filled(
    place: Path, migrated_file: Path, until: datetime | None, seen: Seen
) -> Iterator[FilledSite]:
    instance = place / "instance"
    instance.mkdir()
    shutil.copyfile(migrated_file, instance / "laidtrue.db")
    with served(instance) as site, clock_at(MORNING):
        job = put_job_of_small_photos(site, place, until=until)
        read = read_job(site.installation, site.actor(Role.OWNER), job)
        pages, without = addresses(site, read)
        assert set(without) <= NOT_THERE
        yield FilledSite(site=site, pages=pages, seen=seen)


@pytest.fixture(scope="module")
def in_hand(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path, seen: Seen
) -> Iterator[FilledSite]:
    yield from filled(tmp_path_factory.mktemp("in-hand"), migrated_file, MORNING, seen)


@pytest.fixture(scope="module")
def handed_over(
    tmp_path_factory: pytest.TempPathFactory, migrated_file: Path, seen: Seen
) -> Iterator[FilledSite]:
    for whole in filled(tmp_path_factory.mktemp("handed-over"), migrated_file, None, seen):
        of_jobs = tuple(one for one in whole.pages if one.path.startswith("/jobs/"))
        yield replace(whole, pages=of_jobs)


def faults_of(filled: FilledSite, browser: Browser, roles: Iterable[Role | None]) -> list[str]:
    """What falls short on any page."""
    faults: list[str] = []
    for role in roles:
        with open_page(browser, PHONE) as page:
            overheard: list[str] = []
            listen(page, filled.site.origin, overheard)
            if role is not None:
                filled.site.sign_in(page, role)
            for address in filled.views(page):
                page.goto(filled.site.origin + address.path)
                if not address.name.startswith("error"):
                    faults += (f"{address.name}, {role}: {fault}" for fault in overheard)
                overheard.clear()
                faults += (f"{address.name}, {role}: {fault}" for fault in looked_at(page, address))
    return faults


def listen(page: Page, origin: str, overheard: list[str]) -> None:
    """Notes what a page asks of others, and what goes wrong in it."""

    def asked(request: Request) -> None:
        if not request.url.startswith((origin, "data:", "blob:")):
            overheard.append(f"asks {request.url}")

    def said(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            overheard.append(f"console: {message.text}")

    page.on("request", asked)
    page.on("console", said)
    page.on("pageerror", lambda error: overheard.append(f"script: {error}"))


def looked_at(page: Page, address: Address) -> Iterator[str]:
    """Looks at an open page in every way, and answers what falls short."""
    size = int(page.evaluate(_BYTES))
    if address.name.startswith("roof") and size > MOST_BYTES:
        yield f"{size} bytes"
    yield from (f"moves: {one}" for one in moving(page))
    unfold(page)
    yield from shortcomings_in_all_lights(page)
    yield from lost_by_change(page)


def test_page_of_a_job_in_hand_falls_short_of_nothing(
    in_hand: FilledSite, browser: Browser
) -> None:
    faults = faults_of(in_hand, browser, (None, *Role))
    assert "\n".join(faults) == ""
    never = {address.name for address in in_hand.pages} - set(in_hand.seen) - in_hand.files
    assert never <= NO_PAGES | IN_THE_MIDDLE


def test_page_of_a_job_handed_over_falls_short_of_nothing(
    handed_over: FilledSite, browser: Browser
) -> None:
    assert "\n".join(faults_of(handed_over, browser, (Role.SUPERVISOR,))) == ""
