"""What the warranty file shows of the record itself: changes, lots, photographs, hashes."""

from __future__ import annotations

import hashlib
import html
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from qa.assess.nonconformities import cases
from qa.packs.source import PackSource
from qa.packs.warranty import warranty_file
from qa.packs.warranty.basis import specification_used
from qa.packs.warranty.changes import Change, corrections, late_entries
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.course import nonconformities, notes
from qa.packs.warranty.entries import entries
from qa.packs.warranty.lots import lots
from qa.packs.warranty.photographs import photographs
from qa.packs.warranty.proof import proof
from qa.packs.warranty.remedies import case_text
from qa.trade.bay_runs import bay_runs
from tests.factories import RecordBuilder
from tests.unit.packs.warranty.warranty_job import late_photo, warranty_job, warranty_source


@pytest.fixture(scope="module")
def source() -> PackSource:
    return warranty_source(late_photo(warranty_job()))


def test_correction_shows_old_and_new_value_of_each_field(source: PackSource) -> None:
    first = corrections(source, Citing(source))[0]
    assert first.corrected.startswith("mix, 13 May 08:10")
    assert first.changes == (
        Change(field="catalyst_ml", before="285", after="96"),
        Change(field="stirred_after_s", before="50", after="60"),
    )


def test_withdrawn_entry_keeps_what_it_said(source: PackSource) -> None:
    withdrawn = corrections(source, Citing(source))[1]
    assert withdrawn.is_withdrawal
    assert withdrawn.changes[0] == Change(
        field="text", before="Scaffold comes down on Friday.", after="–"
    )


def test_second_correction_shows_what_the_first_had_put_in_place() -> None:
    builder = RecordBuilder.opened()
    note = builder.add("note", text="one")
    builder.add("correction", corrects=note, reason="Slip.", body={"text": "two"})
    builder.add("correction", corrects=note, reason="Slip.", body={"text": "three"})
    source = warranty_source(builder.record())
    told = [story.changes[0] for story in corrections(source, Citing(source))]
    assert [(change.before, change.after) for change in told] == [("one", "two"), ("two", "three")]


def test_concession_is_told_with_authority_and_limit() -> None:
    builder = RecordBuilder.opened()
    builder.add("nonconformity")
    builder.add(
        "disposition", by="mara", decision="concession", authority="The client", limit="One bay"
    )
    source = warranty_source(builder.record())
    decided = nonconformities(source, Citing(source))[0].steps[1]
    assert decided.said == "Cut out and lay again. Authority: The client Limit: One bay"
    story = case_text(cases(source.job)[0], Citing(source))
    assert "authority: The client; limit: One bay" in story


def test_camera_clock_without_offset_is_shown_as_such(source: PackSource, tmp_path: Path) -> None:
    # An Exif time without OffsetTimeOriginal is no instant, yet it is what the camera wrote.
    first = min(source.photos.values(), key=lambda photo: photo.file)
    copy = tmp_path / "copy.jpg"
    clock = datetime(2008, 10, 22, 16, 28)  # noqa: DTZ001
    dated = replace(first, print_copy=copy, clock=clock)
    shown = photographs(replace(source, photos={first.file: dated}), Citing(source))
    (facts,) = [p.facts for stage in shown.stages for row in stage.rows for p in row]
    assert "camera clock 2008-10-22 16:28, no zone" in facts
    assert dated.has_camera_time
    assert not replace(dated, clock=None).has_camera_time


def test_withheld_value_shows_its_digest_only() -> None:
    builder = RecordBuilder.opened()
    body = builder.entries[0]["body"] | {"title": "Porch roof"}
    builder.add("correction", corrects=builder.id_of(0), reason="Wrong title.", body=body)
    sealed = replace(builder.sealed(), disclosures=())
    text = "".join(f"{c.before}{c.after}" for c in _changes_of(warranty_source(sealed)))
    assert "A. Client" not in text


def _changes_of(source: PackSource) -> list[Change]:
    return [change for story in corrections(source, Citing(source)) for change in story.changes]


def test_late_entry_names_its_arrival(source: PackSource) -> None:
    late = late_entries(source, Citing(source))
    assert [entry.received for entry in late] == ["13 May 11:25", "16 May 10:37"]


def test_overdrawn_lot_is_flagged(source: PackSource) -> None:
    row = next(row for row in lots(source, Citing(source)).rows if row.lot == "resin-2")
    assert (row.taken, row.wasted, row.left) == ("1.6 kg", "0.2 kg", "−0.6 kg")
    assert row.verdict is not None
    assert row.verdict.word == "outside"


def test_lot_that_nothing_was_taken_from_is_not_judged(source: PackSource) -> None:
    row = next(row for row in lots(source, Citing(source)).rows if row.lot == "mat-1")
    assert (row.taken, row.wasted, row.verdict) == ("none told", "–", None)


def test_nonconformity_tells_each_step(source: PackSource) -> None:
    first = nonconformities(source, Citing(source))[0]
    assert first.state.word == "put right"
    assert [step.text for step in first.steps][:2] == ["Raised.", "Disposition: rework."]


def test_notes_are_told_without_the_withdrawn_one(source: PackSource) -> None:
    told = [event.said for event in notes(source, Citing(source))]
    assert "Neighbour told of the smell <b>twice</b> & shown the sheet." in told
    assert "Scaffold comes down on Friday." not in told


def test_erased_photograph_is_named_with_its_erasure() -> None:
    builder = RecordBuilder.equipped()
    builder.add("photo", file="photos/kept.jpg")
    builder.add("photo", file="photos/gone.jpg")
    digest = builder.sealed().entries[-1].written["body"]["sha256"]
    builder.add("erasure", disclosures=..., photos=[digest], reason="A face was seen.")
    source = warranty_source(builder.sealed())
    source = replace(source, photos={"photos/kept.jpg": source.photos["photos/kept.jpg"]})
    erased = photographs(source, Citing(source)).erased
    assert "A face was seen." in next(line for line in erased if "gone.jpg" in line)


def test_long_caption_is_printed_whole_somewhere() -> None:
    caption = "Seen from the ladder, " * 18
    builder = RecordBuilder.equipped()
    builder.add("photo", caption=caption.strip())
    source = warranty_source(builder.record())
    assert photographs(source, Citing(source)).captions[0].caption == caption.strip()


def test_every_entry_is_listed_with_its_hash(source: PackSource) -> None:
    rows = entries(source, Citing(source)).rows
    assert [row.sha256 for row in rows] == [entry.hash for entry in source.job.entries]
    assert rows[-1].sha256 == source.assessment.head


def test_unsealed_record_claims_no_arrival() -> None:
    page = warranty_file(warranty_source(RecordBuilder.equipped().record())).html
    assert "has not passed through a ledger" in page
    assert ", received" not in page


def test_attached_files_have_the_digests_printed(source: PackSource) -> None:
    document = warranty_file(source)
    printed = {file.name: file.sha256 for file in proof(source, late_h="12 h").files}
    attached = {a.name: hashlib.sha256(a.content).hexdigest() for a in document.attachments}
    assert printed == attached


def test_every_source_sentence_is_printed_whole(source: PackSource) -> None:
    used = source.specification
    page = html.unescape(warranty_file(source).html)
    sourced = [*used.checks.values(), used.resin_dose, used.topcoat_dose, used.gel_time]
    assert [item.source for item in sourced if item.source not in page] == []
    assert len(specification_used(source).checks) == len(used.checks)


def test_runs_of_bays_join_three_neighbours_or_more() -> None:
    assert bay_runs(["r1b3", "r1b1", "r1b2", "r2b4", "r2b5"]) == "r1b1–r1b3, r2b4, r2b5"


def test_what_people_typed_is_never_markup() -> None:
    builder = RecordBuilder.opened(title="<script>alert(1)</script>")
    assert "<script" not in warranty_file(warranty_source(builder.record())).html
