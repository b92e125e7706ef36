"""Packs beside headless Chromium printing the same page, which makes neither PDF/A nor tags.

Each run is a process of its own, from its start to the finished file, and the best of three counts.
`python -m tests.bench.pack` prints what each construct costs, for those who write templates.
"""

from __future__ import annotations

import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from qa.packs.rendering import Document, render_pdf
from qa.packs.rendering.fetcher import FONTS, STYLES
from tests.bench.line import BenchLine
from tests.flow.sample_pack import Size, draw_photos, sample_document

Compose = Callable[[Mapping[str, Path], int], Document]
"""Makes the document of a pack with so many of the photographs given."""

RUNS = 3
MOST_PHOTOS = 480
PEAK_MB = 400.0

RENDER = """
import pickle, re, sys
from pathlib import Path
from qa.packs.rendering import render_pdf
document = pickle.loads(Path(sys.argv[1]).read_bytes())
Path(sys.argv[2]).write_bytes(render_pdf(document))
# The high-water mark of this program alone: getrusage would count what the bench held at the fork.
print(int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) / 1024)
"""

CHROMIUM = (
    "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--allow-file-access-from-files", "--no-pdf-header-footer",
)  # fmt: skip


def run() -> Iterable[BenchLine]:
    """Measure the sample pack."""
    return lines(lambda photos, count: sample_document(photos, Size(photos=count)))


def lines(compose: Compose) -> Iterator[BenchLine]:
    """Measure the packs that a function composes."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        photos = draw_photos(folder / "photos", MOST_PHOTOS)
        for count, bound in ((120, 1.6), (MOST_PHOTOS, 0.8)):
            document = compose(photos, count)
            ours, peak_mb = _ours(document, folder)
            theirs = _chromium(document, folder)
            yield BenchLine(
                name=f"pack of {count} photos, against Chromium",
                figure=ours,
                unit="s",
                reference=theirs,
                ratio=ours / theirs,
                bound=bound,
            )
        yield BenchLine(
            name=f"peak memory of a pack of {MOST_PHOTOS} photos, against the limit",
            figure=peak_mb,
            unit="MB",
            reference=PEAK_MB,
            ratio=peak_mb / PEAK_MB,
            bound=1.0,
        )
        yield _growth(compose, photos)


def _growth(compose: Compose, photos: Mapping[str, Path]) -> BenchLine:
    """Time per added photo from 270 to 480 against that from 60 to 270."""
    documents = tuple(compose(photos, count) for count in (60, 270, MOST_PHOTOS))
    few, some, many = _processor_s(documents)
    late, early = (many - some) / 210 * 1000, (some - few) / 210 * 1000
    return BenchLine(
        name="time per added photo, 270 to 480 against 60 to 270",
        figure=late,
        unit="ms",
        reference=early,
        ratio=late / early,
        bound=1.15,
    )


def _processor_s(documents: Sequence[Document], rounds: int = 5) -> list[float]:
    """The least processor time of each document, taken in turn so that a busy spell hits all."""
    times: list[list[float]] = [[] for _ in documents]
    for _ in range(rounds):
        for document, taken in zip(documents, times, strict=True):
            start = time.process_time()
            render_pdf(document)
            taken.append(time.process_time() - start)
    return [min(taken) for taken in times]


def _ours(document: Document, folder: Path) -> tuple[float, float]:
    given = folder / "document.pickle"
    given.write_bytes(pickle.dumps(document))
    command = (sys.executable, "-c", RENDER, str(given), str(folder / "ours.pdf"))
    runs = [_timed(command) for _ in range(RUNS)]
    return min(seconds for seconds, _ in runs), max(float(output) for _, output in runs)


def _chromium(document: Document, folder: Path) -> float:
    page = folder / "page.html"
    page.write_text(_for_browser(document), encoding="utf-8")
    times = []
    for _ in range(RUNS):
        profile = tempfile.mkdtemp(dir=folder)
        target = folder / "theirs.pdf"
        options = (f"--user-data-dir={profile}", f"--print-to-pdf={target}", page.as_uri())
        times.append(_timed((*CHROMIUM, *options))[0])
        shutil.rmtree(profile, ignore_errors=True)
        target.unlink()
    return min(times)


def _timed(command: tuple[str, ...]) -> tuple[float, str]:
    start = time.perf_counter()
    run = subprocess.run(command, check=True, capture_output=True, text=True)
    return time.perf_counter() - start, run.stdout


def _for_browser(document: Document) -> str:
    """The same page with the addresses of files in place of ours."""
    style = STYLES["pack.css"].read_text(encoding="utf-8")
    link = '<link rel="stylesheet" href="pack:style/pack.css">'
    page = document.html.replace(link, f"<style>{style}</style>")
    shelves = {"photo": document.photos, "font": FONTS, "style": STYLES}
    return re.sub(
        r"pack:(photo|font|style)/([\w.-]+)",
        lambda found: shelves[found[1]][found[2]].as_uri(),
        page,
    )


def costs() -> Iterator[str]:
    """Say what one more of each construct costs in processor time."""
    none = {"rows": 0, "photos": 0, "charts": 0, "paragraphs": 0}
    counts = {"rows": 300, "photos": 120, "charts": 6, "paragraphs": 60}
    with tempfile.TemporaryDirectory() as name:
        photos = draw_photos(Path(name), counts["photos"])
        sizes = [none, *(none | {construct: count} for construct, count in counts.items())]
        empty, *times = _processor_s([sample_document(photos, Size(**size)) for size in sizes])
    yield f"a pack of one page of each kind: {empty:.2f} s"
    for (construct, count), taken in zip(counts.items(), times, strict=True):
        yield f"one of {construct}: {(taken - empty) / count * 1000:.1f} ms"


if __name__ == "__main__":
    for text in costs():
        print(text)
