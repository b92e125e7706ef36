"""The real warranty file beside headless Chromium printing the same page.

The job is the one of the tests, with as many photographs as asked for, each an entry of its own, so
that stages, bays, mixes and the list of entries have the weight that they have in use.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from qa.packs.rendering import Document
from qa.packs.warranty import warranty_file
from tests.bench.line import BenchLine
from tests.bench.pack import lines
from tests.unit.packs.warranty.warranty_job import warranty_job, warranty_source


def run() -> Iterable[BenchLine]:
    """Measure the warranty file."""
    yield from lines(warranty_of)


def warranty_of(photos: Mapping[str, Path], count: int) -> Document:
    """The warranty file of a job with so many of the photographs given.

    Args:
        photos: print copies by digest, at least `count` of them.
        count: how many photographs the job has.
    """
    builder = warranty_job()
    taken = sum(entry["kind"] == "photo" for entry in builder.entries)
    for number in range(count - taken):
        # While the laminate could still be seen: a photograph of covered work would be a finding.
        builder.add(
            "photo",
            at="2026-05-13T15:00:00+01:00",
            area="main",
            bay=f"r{1 + number % 5}b{1 + number % 6}",
            caption=f"Bay while transparent, look {number + 1}",
        )
    source = warranty_source(builder.sealed())
    shown = zip(source.photos.items(), photos.items(), strict=False)
    copies = {
        file: replace(photo, sha256=digest, print_copy=path)
        for (file, photo), (digest, path) in shown
    }
    return warranty_file(replace(source, photos=copies))
