"""`python3 -m qa pictures [FOLDER]`: a picture of every page, to be looked at.

Two sites are made in a temporary folder and served: one with the whole demonstration job, one with
the same job on the morning of its main day, whose clock stands at that time. Nobody and each role
open every page that they may; what reads the same for another is not taken again. Phone and desk,
in sun and in the dark. The pictures are put into FOLDER, by default instance/pictures, which git
leaves alone. Beside them stands shortcomings.txt: what falls short on any page, measured as the
tests measure it.
"""

from __future__ import annotations

import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from qa.services.access import Role
from qa.services.delivery import work_all
from qa.services.pack_making import ask_for_pack
from qa.services.packing import PackKind
from qa.services.reading import read_job
from qa.web import clock
from tests.flow.browser import ARGUMENTS, CHROMIUM, DESK, PHONE, ServedSite, open_page, served
from tests.flow.measuring import faint_text, shortcomings
from tests.pictures.jobs import MORNING, clock_at, demo_folder, put_job_in_hand, put_whole_job
from tests.pictures.objects import Address, addresses

VARIANTS = (
    ("phone-sun", PHONE, False),
    ("phone-dark", PHONE, True),
    ("desk-sun", DESK, False),
    ("desk-dark", DESK, True),
)
LED_AWAY = frozenset({302, 303, 403})
_CHANCE = re.compile(
    r"<style>.*?</style>|<header.*?</header>|data-person=\"[^\"]*\"|csrf[-_]token\"[^>]*"
    r"|[0-9a-f]{8}-[0-9a-f-]{27}|[0-9a-f]{12}",
    re.DOTALL,
)
"""What differs from one answer to the next though the page reads the same."""
BY_DEFAULT = Path(__file__).resolve().parents[2] / "instance" / "pictures"


def main(folder: Path) -> None:
    """Takes all pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    demo = demo_folder()
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        with served(Path(place) / "whole") as site:
            job = put_whole_job(site, demo)
            _make_a_pack(site, job)
            _tell(folder / "whole", _take_all(site, browser, job, folder / "whole"))
        with served(Path(place) / "in-hand") as site, clock_at(MORNING):
            job = put_job_in_hand(site, demo, Path(place))
            work_all(site.installation, now=clock.now())
            _tell(folder / "in-hand", _take_all(site, browser, job, folder / "in-hand"))
        browser.close()


def _tell(folder: Path, faults: Iterator[str]) -> None:
    """Writes what falls short, as it is found."""
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "shortcomings.txt").open("w", encoding="utf-8") as file:
        for fault in faults:
            file.write(f"{fault}\n")
            file.flush()
    sys.stdout.write(f"{folder}: {len(list(folder.glob('*.png')))} pictures\n")


def _make_a_pack(site: ServedSite, job: str) -> None:
    ask_for_pack(site.installation, site.actor(Role.OWNER), job, PackKind.HANDOVER, now=clock.now())
    work_all(site.installation, now=clock.now())


def _take_all(site: ServedSite, browser: Browser, job: str, folder: Path) -> Iterator[str]:
    """Takes the pictures of a site, and answers what falls short."""
    pages, without = addresses(site, read_job(site.installation, site.actor(Role.OWNER), job))
    yield from (f"{endpoint}: the job has nothing to show there" for endpoint in without)
    seen: set[str] = set()
    for viewer in (None, *Role):
        views = _views(site, browser, viewer, pages, seen)
        for variant, size, dark in VARIANTS:
            with open_page(browser, size, dark=dark) as page:
                _let_in(site, page, viewer)
                for address in views:
                    name = f"{address.name}-{viewer or 'nobody'}-{variant}"
                    page.goto(site.origin + address.path)
                    page.screenshot(path=folder / f"{name}.png", full_page=True)
                    faults = faint_text(page) if dark else shortcomings(page)
                    yield from (f"{name}: {fault}" for fault in faults)


def _views(
    site: ServedSite,
    browser: Browser,
    viewer: Role | None,
    pages: Sequence[Address],
    seen: set[str],
) -> list[Address]:
    """The pages that read otherwise for this viewer than for those before; a refusal is none."""
    views = []
    with open_page(browser, PHONE) as page:
        _let_in(site, page, viewer)
        for address in pages:
            answer = page.request.get(site.origin + address.path, max_redirects=0)
            if "html" not in answer.headers.get("content-type", "") or answer.status in LED_AWAY:
                continue
            text = _CHANCE.sub("", answer.text())
            if f"{address.path}\n{text}" not in seen:
                seen.add(f"{address.path}\n{text}")
                views.append(address)
    return views


def _let_in(site: ServedSite, page: Page, viewer: Role | None) -> None:
    if viewer is not None:
        site.sign_in(page, viewer)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else BY_DEFAULT)
