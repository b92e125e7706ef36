"""Every kind of request for photos, met and missing; which photos stand beside a finding."""

from __future__ import annotations

from typing import Any

import pytest

from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import equipped, findings, only, sound_job

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
PHOTOS = "stage.photos"


def drop(builder: RecordBuilder, stage: str, **marks: Any) -> RecordBuilder:
    """The record without its first photo of a stage that bears just these marks."""
    wanted = {"stage": stage, "area": "main"} | marks
    for entry in builder.entries:
        body = {name: value for name, value in entry["body"].items() if name != "file"}
        if entry["kind"] == "photo" and body == wanted:
            entry |= {"kind": "note", "body": {"text": "No photo was taken."}}
            return builder
    raise AssertionError(wanted)


@pytest.mark.parametrize(
    ("stage", "marks", "missing"),
    [
        ("survey", {}, "the joists, open (0 of 1)"),
        ("deck", {}, "each run of boards (0 of 1)"),
        ("deck", {"check": "deck.fixing_centres"}, "the fixing pattern with a tape in view"),
        ("deck", {"check": "deck.expansion_gap"}, "the gap at the wall with a tape in view"),
        ("trims", {"edge": "eaves"}, "every kind of edge: drip edge"),
        ("trims", {"edge": "wall"}, "every kind of edge: wall fillet"),
        ("trims", {}, "every corner (3 of 4)"),
        ("trims", {"check": "trims.overlap"}, "every overlap of two trims"),
        ("bandage", {}, "every corner and detail before it is covered (3 of 4)"),
        ("laminate", {"bay": "r3b1"}, "transparent: row 3"),
        ("laminate", {"lot": "resin-1"}, "the batch label of each lot: lot resin-1"),
        ("laminate", {"lot": "catalyst-1"}, "the batch label of each lot: lot catalyst-1"),
        ("completion", {}, "(0 of 1)"),
        ("completion", {"edge": "left"}, "every edge: edge left"),
    ],
)
def test_missing_photo_is_named(stage: str, marks: dict[str, str], missing: str) -> None:
    whole = only(sound_job(), PHOTOS, stage=stage)
    assert whole.verdict is IN
    found = only(drop(sound_job(), stage, **marks), PHOTOS, stage=stage)
    assert found.verdict is OUT
    assert missing in found.exact
    assert whole.value is not None
    assert found.value == whole.value - 1


def test_stage_without_any_photo_is_not_recorded() -> None:
    assert only(equipped(), PHOTOS, stage="survey").verdict is SILENT
    assert findings(equipped(), PHOTOS, stage="topcoat") == ()


def test_missing_photo_may_still_come_before_the_sign_off() -> None:
    builder = equipped()
    builder.add("photo", stage="survey")
    found = only(builder, PHOTOS, stage="survey")
    assert found.verdict is SILENT
    assert "the joists, open (0 of 1)" in found.exact
    builder.add("sign_off", stage="survey")
    assert only(builder, PHOTOS, stage="survey").verdict is OUT


def test_caption_says_which_request_a_photo_meets() -> None:
    builder = equipped()
    builder.add("photo", stage="survey", caption="The joists, open")
    assert (
        "Missing: the whole roof before work (0 of 1)."
        in only(builder, PHOTOS, stage="survey").exact
    )
    builder.add("photo", stage="survey", caption="From the lane")
    assert only(builder, PHOTOS, stage="survey").verdict is IN


def test_batch_label_shows_no_roof() -> None:
    builder = drop(sound_job(), "deck")
    builder.add("photo", stage="deck", area="main", lot="resin-1")
    assert only(builder, PHOTOS, stage="deck").verdict is OUT


def test_defect_asks_for_two_photos_of_its_bay() -> None:
    builder = sound_job()
    builder.add("examination", at="2026-05-12T11:36:00+01:00", bay="r2b3", pinholes=1)
    found = only(builder, PHOTOS, stage="laminate")
    assert "each defect, before and after repair: bay r2b3" in found.exact
    builder.add("photo", stage="laminate", area="main", bay="r2b3")
    assert only(builder, PHOTOS, stage="laminate").verdict is OUT
    builder.add("photo", stage="laminate", area="main", bay="r2b3")
    assert only(builder, PHOTOS, stage="laminate").verdict is IN


@pytest.mark.parametrize(
    "look",
    [{"wet_out": "dry"}, {"opaque_cm2": 1}, {"pinholes": 1}, {"trapped_air": 1}],
)
def test_every_defect_asks_for_photos(look: dict[str, Any]) -> None:
    builder = sound_job()
    builder.add("examination", bay="r2b3", **look)
    assert "bay r2b3" in only(builder, PHOTOS, stage="laminate").exact


def test_photo_of_another_stage_or_area_meets_nothing() -> None:
    builder = drop(sound_job(), "deck")
    builder.add("area", area="porch", name="Porch")
    builder.add("photo", stage="trims", area="main")
    builder.add("photo", stage="deck", area="porch")
    assert "each run of boards (Main roof) (0 of 1)" in only(builder, PHOTOS, stage="deck").exact


def test_photo_without_an_area_shows_any_area() -> None:
    builder = drop(sound_job(), "deck")
    builder.add("photo", stage="deck")
    assert only(builder, PHOTOS, stage="deck").verdict is IN


def test_withdrawn_photo_is_missing() -> None:
    builder = sound_job()
    photo = next(
        e
        for e in builder.entries
        if e["body"].get("check") == "trims.overlap" and e["kind"] == "photo"
    )
    builder.add("correction", corrects=photo["id"], body=None)
    assert only(builder, PHOTOS, stage="trims").verdict is OUT


def test_finding_shows_the_photos_of_its_subject() -> None:
    builder = equipped()
    builder.add("mix")
    builder.add("mix")
    builder.add("photo", mix="mix-1")
    builder.add("photo", check="mix.dose")
    builder.add("photo", mix="mix-2")
    shown = set(only(builder, "mix.dose", subject="mix-1").photos)
    assert shown == {"photos/001.jpg", "photos/002.jpg"}


def test_bay_and_edge_show_their_own_photos() -> None:
    builder = equipped()
    builder.add("examination", bay="r1b1")
    builder.add("photo", area="main", bay="r1b1")
    builder.add("photo", area="main", bay="r1b2")
    assert only(builder, "laminate.pinholes").photos == ("photos/001.jpg",)
    builder.add("photo", stage="trims", area="main", edge="eaves")
    assert only(builder, "trims.battens", subject="eaves").photos == ("photos/003.jpg",)
