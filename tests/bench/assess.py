"""How fast a folder is judged, and whether an entry costs the same in a long record as in a short.

The record is a job of large areas, each with a thousand entries in about the shares of the
demonstration job: answers, readings, mixes, examinations, photographs. Its content is invented.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta, timezone
from itertools import chain, islice
from itertools import count as iter_count
from pathlib import Path
from typing import Any

from PIL import Image

from qa.assess.assessment import assess
from qa.record.folder import read_folder
from qa.record.job import fold
from qa.services.loading import without_collecting
from qa.specification.loader import built_in
from tests.bench.line import BenchLine

_SECONDS_FOR_10_000 = 1.0
_FLATNESS = 1.3
_START = datetime(2026, 5, 12, 7, 0, tzinfo=timezone(timedelta(hours=1)))

Body = dict[str, Any]


def run() -> Iterable[BenchLine]:
    """Times the whole process at 10,000 entries, and the judging at 1,000 and 100,000."""
    with tempfile.TemporaryDirectory() as folder:
        yield _whole_process(written(Path(folder) / "whole", 10_000))
        yield _flatness(Path(folder))


def _whole_process(job: Path) -> BenchLine:
    laidtrue = Path(sys.executable).with_name("laidtrue")
    command = [str(laidtrue), "assess", str(job)]
    seconds = min(
        _timed(lambda: subprocess.run(command, check=True, capture_output=True)) for _ in range(3)
    )
    return BenchLine(
        name="assess of 10,000 entries, whole process",
        figure=seconds,
        unit="s",
        reference=_SECONDS_FOR_10_000,
        ratio=seconds / _SECONDS_FOR_10_000,
        bound=1.0,
    )


def _flatness(folder: Path) -> BenchLine:
    short = written(folder / "short", 1_000)
    long = written(folder / "long", 100_000)
    of_short = min(_timed(lambda: _judge(short)) for _ in range(7)) / 1_000
    of_long = min(_timed(lambda: _judge(long)) for _ in range(2)) / 100_000
    return BenchLine(
        name="assess, time per entry at 100,000 entries to 1,000",
        figure=of_long * 1e6,
        unit="µs",
        reference=of_short * 1e6,
        ratio=of_long / of_short,
        bound=_FLATNESS,
    )


def _judge(job: Path) -> None:
    with without_collecting():
        assess(fold(read_folder(job).record), _SPECIFICATION)


_SPECIFICATION = built_in("general-grp/1")


def _timed(work: Any) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def written(folder: Path, entries: int) -> Path:
    """A job folder of exactly so many entries."""
    folder.mkdir()
    lines = []
    for number, (kind, at, body) in enumerate(_told(entries)):
        entry = {
            "id": f"0196b1c2-0000-7000-8000-{number:012x}",
            "kind": kind,
            "at": at.isoformat(),
            "by": "ines" if number % 3 else "ben",
            "body": body,
        }
        lines.append(json.dumps(entry))
    (folder / "record.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (folder / "photos").mkdir()
    for number in range(_PICTURES):
        Image.new("RGB", (64, 48), (number, 90, 90)).save(folder / "photos" / f"{number}.jpg")
    return folder


def _told(count: int) -> Iterator[tuple[str, datetime, Body]]:
    yield "job", _START, _OPENING
    for lot in _LOTS:
        yield "lot", _START, lot
    entries = chain.from_iterable(_area(f"area-{number}") for number in iter_count())
    yield from islice(entries, count - 1 - len(_LOTS))


def _area(area: str) -> Iterator[tuple[str, datetime, Body]]:
    """A thousand entries on one roof of 120 m², in about the shares of the demonstration job."""
    at = _START + timedelta(hours=1)
    yield "area", at, {**_AREA, "area": area, "name": area}
    yield from _answers(area, at)
    for stage, day in (("bandage", 0), ("laminate", 1), ("topcoat", 3)):
        for wet_day in range(2):
            yield from _wet_day(area, stage, at + timedelta(days=day + wet_day), wet_day)
    for number in range(260):
        where = {"stage": "laminate", "area": area, "bay": _BAYS[number % len(_BAYS)]}
        told = {"file": f"photos/{number % _PICTURES}.jpg", "caption": "The bay, rolled out"}
        yield "photo", at + timedelta(days=1, minutes=number), {**where, **told}
    for number in range(190):
        later = at + timedelta(days=4, minutes=15 * number)
        yield "conditions", later, {"stage": "completion", "area": area, "deck_c": 12.5}


def _answers(area: str, at: datetime) -> Iterator[tuple[str, datetime, Body]]:
    for check in _SPECIFICATION.checks.values():
        stage = str(check.stages[0])
        if check.form == "measured" and check.per == "area":
            value = check.limits.lower or check.limits.upper or 0
            body = {"stage": stage, "check": check.key, "value": value, "unit": check.unit}
            yield "measurement", at, {**body, "area": area}
        elif check.form == "observed" and check.per == "area":
            body = {"stage": stage, "check": check.key, "area": area}
            yield "observation", at, {**body, "result": "yes" if check.expects else "no"}


def _wet_day(area: str, stage: str, at: datetime, day: int) -> Iterator[tuple[str, datetime, Body]]:
    """Half a stage: eleven mixes, a look at the weather before and after each."""
    material = "topcoat-1" if stage == "topcoat" else "resin-1"
    for number in range(11):
        begun = at + timedelta(minutes=40 * number)
        weather = {"air_c": 14.5 + number / 4, "humidity_pct": 62, "deck_c": 13.5, "rain": False}
        for minutes in (0, 20):
            looked = begun + timedelta(minutes=minutes)
            yield "conditions", looked, {"stage": stage, "area": area, **weather}
        bays = _BAYS[(11 * day + number) * 6 :][:6]
        yield "mix", begun + timedelta(minutes=5), {
            "mix": f"{area}-{stage}-{day}-{number}", "stage": stage, "area": area,
            "lot": material, "kg": 8.7, "catalyst_lot": "catalyst-1", "catalyst_ml": 260,
            "deck_c": 13.5, "bays": bays, "stirred_before_s": 40, "stirred_after_s": 70,
            "emptied_at": (begun + timedelta(minutes=19)).isoformat(),
        }  # fmt: skip
        for bay in bays if stage == "laminate" else ():
            body = {"area": area, "bay": bay, "wet_out": "transparent", "pinholes": 0}
            looked = begun + timedelta(minutes=30)
            yield "examination", looked, {**body, "examined_m2": 1.0, "passes": 5}
    used = {"stage": stage, "area": area, "lot": material, "used": 96.0, "unit": "kg"}
    yield "usage", at + timedelta(hours=9), used


_BAYS = [f"r{row}b{number}" for row in range(1, 12) for number in range(1, 13)]
_PICTURES = 20

_OPENING: Body = {
    "job": "B-1",
    "title": "Benchmark",
    "specification": "general-grp/1",
    "time_zone": "Europe/London",
    "firm": {"name": "An Invented Roofing Firm"},
    "client": {"name": "A. Client"},
    "site": {"address": "1 Invented Lane"},
    "crew": [
        {"person": "ines", "name": "Ines Invented", "role": "installer"},
        {"person": "ben", "name": "Ben Invented", "role": "installer"},
    ],
}
_AREA: Body = {
    "outline_m": [[0, 0], [12, 0], [12, 10], [0, 10]],
    "edges": [
        {"edge": "eaves", "kind": "drip_edge", "length_m": 12},
        {"edge": "wall", "kind": "wall_fillet", "length_m": 32},
    ],
    "mat_g_per_m2": 450,
}
_LOTS: tuple[Body, ...] = tuple(
    {
        "lot": f"{material}-1",
        "material": material,
        "product": material,
        "batch_number": "B 1",
        "quantity": 1000,
        "unit": "kg",
        "use_by": "2026-12-31",
    }
    for material in ("resin", "topcoat", "catalyst")
)
