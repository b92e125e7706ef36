"""First paint of a job of two hundred photographs on one page, over a line of 1 Mb/s."""

from __future__ import annotations

import io
import statistics
import tempfile
from collections.abc import Iterable, Iterator
from datetime import timedelta
from pathlib import Path
from random import Random

from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from qa.photos.renditions import Size
from qa.record.registry import Kind
from qa.services.access import Role
from qa.services.originals import hand_in, rendition_path
from qa.services.recording import Draft, record
from qa.web import clock
from tests.bench.line import BenchLine
from tests.flow.browser import ARGUMENTS, CHROMIUM, DESK, ServedSite, open_page, served
from tests.pictures.jobs import MORNING, clock_at, put_job_of_small_photos

PHOTOS = 200
ROUNDS = 5
BYTES_PER_S = 125_000
"""1 Mb/s."""
DELAY_MS = 40
"""Of each answer, both ways; project choice."""
PAINT_MS = 1_500.0
_PAINTED = """
() => performance.getEntriesByName('first-contentful-paint')[0].startTime
"""
_SENT = """
() => performance.getEntriesByType('navigation')[0].encodedBodySize / 1000
"""
_IN_VIEW = """
() => [...document.querySelectorAll('.photo-row img')].filter((one) => one.complete).length
"""


def run() -> Iterable[BenchLine]:
    """The demonstration with as many photographs as make two hundred, opened anew each time."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        place = Path(folder)
        (place / "instance").mkdir()
        (place / "demo").mkdir()
        with served(place / "instance") as site, clock_at(MORNING):
            job = put_job_of_small_photos(site, place / "demo")
            _fill(site, job)
            browser = play.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
            measured = [_opened(site, browser, job) for _ in range(ROUNDS)]
            browser.close()
    paint, kilobytes, loaded = (
        statistics.median(figures) for figures in zip(*measured, strict=True)
    )
    name = f"a job of {PHOTOS} photographs at the desk, 1 Mb/s"
    yield _line(f"first paint of {name}", paint, "ms", PAINT_MS)
    yield _line(f"page of {name}", kilobytes, "kB", PAINT_MS / 1000 * BYTES_PER_S / 1000)
    yield _line(f"photographs loaded at once of {name}", loaded, "photographs", PHOTOS / 2)


def _line(name: str, figure: float, unit: str, limit: float) -> BenchLine:
    return BenchLine(
        name=name, figure=figure, unit=unit, reference=limit, ratio=figure / limit, bound=1.0
    )


def _fill(site: ServedSite, job: str) -> None:
    """Photographs of every stage, until there are two hundred."""
    installer, now = site.actor(Role.INSTALLER), clock.now()
    installation = site.installation
    drafts = []
    for number, jpeg in enumerate(_pictures(PHOTOS)):
        name = f"more-{number}.jpg"
        photo = hand_in(installation, installer, io.BytesIO(jpeg), name=name, now=now)
        stage = ("survey", "deck", "trims", "laminate", "topcoat")[number % 5]
        body = {"file": f"photos/{name}", "stage": stage, "caption": f"Corner {number}"}
        drafts.append(
            Draft(
                id=installation.new_id(),
                kind=Kind.PHOTO,
                at=now - timedelta(minutes=number),
                body=body,
                original=photo.sha256,
            )
        )
    record(installation, installer, job, drafts, now=now)
    for draft in drafts:
        assert draft.original
        _ = rendition_path(installation, installer, job, draft.original, Size.LIST)


def _pictures(count: int) -> Iterator[bytes]:
    """Pictures of coarse noise, which no coder makes small."""
    for seed in range(count):
        grain = Image.frombytes("RGB", (80, 60), Random(seed).randbytes(80 * 60 * 3))
        out = io.BytesIO()
        grain.resize((800, 600)).save(out, "JPEG", quality=80)
        yield out.getvalue()


def _opened(site: ServedSite, browser: Browser, job: str) -> tuple[float, float, float]:
    """First paint in ms, kilobytes of the page, and how many photographs came with it."""
    with open_page(browser, DESK) as page:
        site.sign_in(page, Role.SUPERVISOR)
        _slow(page)
        page.goto(f"{site.origin}/desk/jobs/{job}", wait_until="domcontentloaded", timeout=120_000)
        page.wait_for_function(
            "() => performance.getEntriesByName('first-contentful-paint').length"
        )
        page.wait_for_load_state("load", timeout=120_000)
        return (
            float(page.evaluate(_PAINTED)),
            float(page.evaluate(_SENT)),
            float(page.evaluate(_IN_VIEW)),
        )


def _slow(page: Page) -> None:
    page.context.new_cdp_session(page).send(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": DELAY_MS,
            "downloadThroughput": BYTES_PER_S,
            "uploadThroughput": BYTES_PER_S,
        },
    )
