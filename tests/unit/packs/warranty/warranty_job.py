"""A job for the tests of the warranty file, all of it invented, with everything that it may hold.

To the job of the handover pack's tests it adds what only an expert looks for: corrections, a
withdrawn entry, a roof with levels and a hollow, an overdrawn lot, an unregistered one, an erased
photograph, notes, an inspection, readings of air through the wet days, and dated instruments.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from qa.packs.source import PackSource
from qa.record.reading import Record
from tests.examples import minimal
from tests.factories import RecordBuilder
from tests.unit.packs.handover.sample_job import (
    DENTED,
    sealed_with_a_late_entry,
    source_of,
    whole_job,
)

READINGS = (
    ("09:30", 14.8, 15.2, 66, False),
    ("11:00", 15.4, 16.0, 71, False),
    ("12:30", 16.1, 17.4, 68, False),
    ("13:40", 16.3, 19.8, 84, True),
)


def warranty_job(**job: Any) -> RecordBuilder:
    """The job with all of it, before a ledger takes it in."""
    builder = whole_job(**job)
    builder.entries[1]["body"]["levels_m"] = list(DENTED)
    _change(builder)
    _look_again(builder)
    return builder


def _change(builder: RecordBuilder) -> None:
    """What was corrected, withdrawn and noted."""
    of_kind = _ids(builder)
    mix = of_kind["mix"][3]
    body = next(entry["body"] for entry in builder.entries if entry["id"] == mix)
    stirred = body | {"catalyst_ml": 96, "stirred_after_s": 60}
    builder.add("correction", corrects=mix, reason="A six was read as a five.", body=stirred)
    noted = builder.add("note", text="Scaffold comes down on Friday.", stage="completion")
    builder.add("correction", corrects=noted, reason="Noted on the wrong job.", body=None)
    builder.add("note", text="Neighbour told of the smell <b>twice</b> & shown the sheet.")
    builder.add("lot", lot="resin-2", batch_number="R 1205", quantity=1, use_by="2026-05-01")
    builder.add("usage", stage="bandage", lot="resin-2", used=1.6, wasted=0.2)


def _look_again(builder: RecordBuilder) -> None:
    """Readings of the wet day that came late to the record, and a look after handover."""
    day = minimal("conditions") | {"stage": "laminate", "area": "main"}
    for clock, deck_c, air_c, humidity_pct, rain in READINGS:
        at = f"2026-05-13T{clock}:00+01:00"
        read = {"deck_c": deck_c, "air_c": air_c, "humidity_pct": humidity_pct, "rain": rain}
        builder.add("conditions", at=at, **(day | read))
    builder.add("handover", to="The owner", documents=[])
    builder.add("inspection", finding="Sound, no cracks.", defect=False, next_due="2027-05-16")


def _ids(builder: RecordBuilder) -> dict[str, list[str]]:
    of_kind: dict[str, list[str]] = {}
    for entry in builder.entries:
        of_kind.setdefault(entry["kind"], []).append(entry["id"])
    return of_kind


def warranty_source(record: Record, photos: Path | None = None) -> PackSource:
    """What the warranty file of a record is made from, with drawn print copies where wanted."""
    return source_of(record, photos)


def with_camera_times(source: PackSource) -> PackSource:
    """The same with a time and a camera for every second photograph."""
    photos = {
        file: replace(kept, taken_at=source.dated, camera="Invented Camera 1")
        if number % 2
        else kept
        for number, (file, kept) in enumerate(source.photos.items())
    }
    return replace(source, photos=photos)


def late_photo(builder: RecordBuilder) -> Record:
    """The record as a ledger took it in, its second photograph two days late."""
    return sealed_with_a_late_entry(builder)
