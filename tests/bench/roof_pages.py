"""What a phone waits for: first paint of the roof pages on a weak signal, and their bytes.

Chromium is throttled to 400 kb/s and 300 ms for each request, its cache empty. The limits are the
project's own: 1 s to the first paint, 60 kB for the page with scripts and faces, without photos.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, sync_playwright

from qa.services.access import Role
from qa.services.reading import read_job
from tests.bench.line import BenchLine
from tests.flow.browser import ARGUMENTS, CHROMIUM, PHONE, ServedSite, open_page, served
from tests.pictures.jobs import demo_folder, put_job_in_hand
from tests.pictures.objects import Address, addresses

_DOWN_BYTES_PER_S = 400_000 / 8
_LATENCY_MS = 300
_PAINT_MS = 1000
_BYTES = 60_000
_ROUNDS = 3
_PAGES = (
    "roof-jobs", "roof-job", "roof-conditions", "roof-mix", "roof-bays", "roof-bay", "roof-check",
    "roof-new_lot", "roof-sign_off",
)  # fmt: skip
_PAINTED = "performance.getEntriesByName('first-contentful-paint')[0].startTime"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Opened:
    paint_ms: float
    bytes: int


def run() -> Iterable[BenchLine]:
    """Opens each page three times and takes the median paint and the most bytes."""
    demo = demo_folder()
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        with served(Path(place) / "instance") as site:
            job = put_job_in_hand(site, demo, Path(place))
            read = read_job(site.installation, site.actor(Role.OWNER), job)
            pages, _ = addresses(site, read)
            for address in pages:
                if address.name in _PAGES:
                    yield from _lines(site, browser, address)
        browser.close()


def _lines(site: ServedSite, browser: Browser, address: Address) -> Iterator[BenchLine]:
    opened = [_open(site, browser, address) for _ in range(_ROUNDS)]
    paint_ms = median(one.paint_ms for one in opened)
    most = max(one.bytes for one in opened)
    yield _line(f"first paint of {address.name} at 400 kb/s and 300 ms", paint_ms, "ms", _PAINT_MS)
    yield _line(f"{address.name} over the wire", most, "bytes", _BYTES)


def _line(name: str, figure: float, unit: str, limit: float) -> BenchLine:
    return BenchLine(
        name=name, figure=figure, unit=unit, reference=limit, ratio=figure / limit, bound=1.0
    )


def _open(site: ServedSite, browser: Browser, address: Address) -> _Opened:
    """Opens a page in a fresh profile; photographs are left out of the bytes."""
    with open_page(browser, PHONE) as page:
        site.sign_in(page, Role.INSTALLER)
        session = page.context.new_cdp_session(page)
        session.send("Network.enable")
        kinds: dict[str, str] = {}
        sizes: dict[str, int] = {}
        session.on(
            "Network.responseReceived",
            lambda event: kinds.update({event["requestId"]: event["response"]["mimeType"]}),
        )
        session.on(
            "Network.loadingFinished",
            lambda event: sizes.update({event["requestId"]: event["encodedDataLength"]}),
        )
        session.send(
            "Network.emulateNetworkConditions",
            {
                "offline": False,
                "latency": _LATENCY_MS,
                "downloadThroughput": _DOWN_BYTES_PER_S,
                "uploadThroughput": _DOWN_BYTES_PER_S,
            },
        )
        page.goto(site.origin + address.path, wait_until="networkidle")
        paint_ms = float(page.evaluate(_PAINTED))
        page_bytes = sum(size for key, size in sizes.items() if kinds.get(key) != "image/jpeg")
        return _Opened(paint_ms=paint_ms, bytes=page_bytes)
