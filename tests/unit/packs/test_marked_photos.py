"""Photos with marks in packs: copies that are drawn upon, who drew what, and that it is escaped."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from qa.packs.handover import handover_pack
from qa.packs.source import PackSource
from qa.packs.warranty import warranty_file
from qa.record.folder import write_folder
from qa.services.packing import pack_source
from tests.factories import RecordBuilder
from tests.house import jpeg
from tests.unit.packs.handover.sample_job import (
    sealed_with_a_late_entry,
    source_of,
    whole_job,
)

MARKUP = "</figcaption><script>alert(1)</script>"
ESCAPED = "&lt;/figcaption&gt;&lt;script&gt;alert(1)&lt;/script&gt;"
MARKS: list[dict[str, Any]] = [
    {"type": "arrow", "points": [[0.2, 0.2], [0.5, 0.5]], "words": MARKUP},
    {"type": "measure", "points": [[0.1, 0.5], [0.4, 0.5]]},
    {"type": "reference", "points": [[0.1, 0.9], [0.6, 0.9]], "length_mm": 300},
]


def marked_source(tmp_path: Path, *, take_away: bool = False) -> PackSource:
    """A job of which every photo is marked, or was marked and is no more."""
    builder = whole_job()
    photos = [entry["id"] for entry in builder.entries if entry["kind"] == "photo"]
    for photo in photos:
        drawn = builder.add("annotation", photo=photo, marks=MARKS)
        if take_away:
            builder.add("correction", corrects=drawn, body={"photo": photo, "marks": []})
    return source_of(sealed_with_a_late_entry(builder), tmp_path)


def test_captions_say_who_drew_what_and_that_it_is_an_estimate(tmp_path: Path) -> None:
    source = marked_source(tmp_path)
    handover, warranty = handover_pack(source).html, warranty_file(source).html
    for html in (handover, warranty):
        flat = " ".join(html.split())
        assert "Drawn upon this copy" in flat
        assert f"arrow: {ESCAPED}; measure: about 180 mm" in flat
        assert MARKUP not in html
        assert "it is an estimate and no measurement" in flat
    shown = len(re.findall(r"<figure><img", warranty))
    assert warranty.count("Drawn upon this copy") == shown
    assert warranty.count("<dt>Photo, entry ") == shown
    assert "The originals are untouched" in warranty


def test_marks_that_were_taken_away_leave_no_trace_on_photos(tmp_path: Path) -> None:
    source = marked_source(tmp_path, take_away=True)
    for html in (handover_pack(source).html, warranty_file(source).html):
        assert "Drawn upon" not in html
        assert 'class="row shown marked"' not in html


def test_print_copies_of_a_folder_are_drawn_upon(tmp_path: Path) -> None:
    builder = RecordBuilder.equipped()
    builder.add("photo")
    names = builder.photo_names()
    original = tmp_path / "001.jpg"
    original.write_bytes(jpeg(5, size_px=(640, 480)))
    write_folder(builder.record(), [(names[0], original)], tmp_path / "plain")
    builder.add("annotation", marks=MARKS)
    write_folder(builder.record(), [(names[0], original)], tmp_path / "marked")
    plain, marked = (
        pack_source(tmp_path / name, renditions=tmp_path / "copies").photos[names[0]]
        for name in ("plain", "marked")
    )
    assert plain.sha256 == marked.sha256
    assert plain.print_copy is not None
    assert marked.print_copy is not None
    assert plain.print_copy.read_bytes() != marked.print_copy.read_bytes()
    assert (tmp_path / "marked" / names[0]).read_bytes() == original.read_bytes()
