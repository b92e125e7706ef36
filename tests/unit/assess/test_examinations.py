"""Bays looked at while transparent: limits, repairs, the share that was seen before cover."""

from __future__ import annotations

from typing import Any

import pytest

from qa.trade.conformity import Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import BAYS, equipped, findings, only

IN, OUT, SILENT = Verdict.WITHIN, Verdict.OUTSIDE, Verdict.NOT_RECORDED
QUALITIES = {"laminate.wet_out", "laminate.pinholes", "laminate.trapped_air", "laminate.passes"}


def examined(*looks: dict[str, Any]) -> RecordBuilder:
    builder = equipped()
    for look in looks:
        builder.add("examination", **look)
    return builder


@pytest.mark.parametrize(
    ("check", "look", "value", "verdict"),
    [
        # None at release, four passes: common practice, no source.
        ("laminate.wet_out", {"opaque_cm2": 0}, 0, IN),
        ("laminate.wet_out", {"opaque_cm2": 0.1}, 0.1, OUT),
        ("laminate.wet_out", {}, 0, IN),
        ("laminate.wet_out", {"wet_out": "white_patches", "opaque_cm2": 5}, 5, OUT),
        ("laminate.wet_out", {"wet_out": "white_patches", "opaque_cm2": 0}, 0, OUT),
        ("laminate.wet_out", {"wet_out": "white_patches"}, None, OUT),
        ("laminate.wet_out", {"wet_out": "dry"}, None, OUT),
        ("laminate.pinholes", {"pinholes": 0}, 0, IN),
        ("laminate.pinholes", {"pinholes": 1}, 1, OUT),
        ("laminate.pinholes", {"pinholes": 3, "examined_m2": 0.75}, 4, OUT),
        ("laminate.trapped_air", {"trapped_air": 0}, 0, IN),
        ("laminate.trapped_air", {"trapped_air": 1, "examined_m2": 2}, 0.5, OUT),
        ("laminate.passes", {"passes": 3}, 3, OUT),
        ("laminate.passes", {"passes": 4}, 4, IN),
        ("laminate.passes", {"passes": 5}, 5, IN),
    ],
)
def test_bay_is_judged_by_what_was_seen(
    check: str, look: dict[str, Any], value: float | None, verdict: Verdict
) -> None:
    found = only(examined(look), check, bay="r1b1")
    assert (found.value, found.verdict, found.area) == (value, verdict, "main")


@pytest.mark.parametrize("check", sorted(QUALITIES))
def test_bays_that_nobody_looked_at_are_not_recorded(check: str) -> None:
    assert only(equipped(), check, area="main").verdict is SILENT


@pytest.mark.parametrize("check", ["laminate.trapped_air", "laminate.passes"])
def test_quality_that_no_look_tells_of_is_not_recorded(check: str) -> None:
    builder = examined({"trapped_air": ...}, {"trapped_air": ..., "bay": "r1b2"})
    assert only(builder, check).verdict is SILENT


@pytest.mark.parametrize(
    ("mat", "expected_mm"),
    # ISO 12215-5 form t/w = (2.56/ψ − 1.36)/3.072, from memory; equal to the rule of mixtures.
    [(450, 1.113), (600, 1.484)],
)
def test_thickness_keeps_to_the_theory(mat: int, expected_mm: float) -> None:
    exact_mm = mat / 1000 * (2.56 * 3.5 - 1.36) / 3.072
    assert exact_mm == pytest.approx(expected_mm, abs=0.002)
    for share, verdict in ((0.8499, OUT), (0.85, IN), (0.8501, IN), (1.5, IN)):
        builder = RecordBuilder.opened()
        builder.add("area", mat_g_per_m2=mat)
        builder.add("examination", thickness_mm=[exact_mm * share, exact_mm * 2])
        found = only(builder, "laminate.thickness")
        assert found.lower == pytest.approx(exact_mm * 0.85)
        assert found.verdict is verdict, share


def test_thickness_is_judged_where_it_was_gauged() -> None:
    assert findings(examined({}), "laminate.thickness") == ()


def test_repaired_bay_shows_the_fault_put_right() -> None:
    builder = examined({"pinholes": 4}, {"pinholes": 0, "after_repair": True})
    before, after = sorted(findings(builder, "laminate.pinholes"), key=lambda f: -(f.value or 0))
    assert (before.verdict, before.put_right, before.is_open) == (OUT, True, False)
    assert "put right and checked again" in before.plain
    assert (after.verdict, after.put_right) == (IN, False)


def test_bay_still_bad_after_repair_stays_open() -> None:
    builder = examined({"pinholes": 4}, {"pinholes": 1, "after_repair": True})
    found = findings(builder, "laminate.pinholes")
    assert [f.verdict for f in found] == [OUT, OUT]
    assert not any(f.put_right for f in found)


def test_bay_that_got_worse_is_outside() -> None:
    builder = examined({"pinholes": 0}, {"pinholes": 2})
    (found,) = findings(builder, "laminate.pinholes")
    assert (found.value, found.is_open) == (2, True)


def test_repair_of_one_quality_excuses_no_other() -> None:
    builder = examined({"pinholes": 4, "trapped_air": 1}, {"pinholes": 0, "trapped_air": 1})
    assert all(f.is_open for f in findings(builder, "laminate.trapped_air"))


def test_quality_left_out_of_the_repair_stays_outside() -> None:
    builder = examined({"trapped_air": 2}, {"trapped_air": ..., "after_repair": True})
    assert only(builder, "laminate.trapped_air").is_open


def covered(*, before: int, after: int = 0) -> RecordBuilder:
    looks = [{"bay": bay} for bay in BAYS]
    builder = examined(*looks[:before])
    builder.add("mix", stage="topcoat", lot="topcoat-1")
    for look in looks[before : before + after]:
        builder.add("examination", **look)
    return builder


@pytest.mark.parametrize(
    ("before", "after", "share_pct", "verdict"),
    # 100 % before cover: project choice.
    [(30, 0, 100, IN), (29, 0, 100 * 29 / 30, OUT), (29, 1, 100 * 29 / 30, OUT), (0, 30, 0, OUT)],
)
def test_every_bay_is_examined_before_cover(
    before: int, after: int, share_pct: float, verdict: Verdict
) -> None:
    found = only(covered(before=before, after=after), "laminate.bays_examined")
    assert (found.value, found.verdict) == (pytest.approx(share_pct), verdict)
    assert f"{before} of 30 bays" in found.exact
    if before == 29:
        assert "Not examined before cover: r5b6." in found.exact


def test_bay_off_the_plan_adds_no_share() -> None:
    builder = covered(before=29)
    builder.add("examination", at="07:10", bay="r9b1")
    found = only(builder, "laminate.bays_examined")
    assert found.verdict is OUT
    assert "Not on the bay plan: r9b1." in found.exact


def test_bays_not_looked_at_yet_are_not_recorded_before_sign_off_or_cover() -> None:
    builder = equipped()
    builder.add("examination", bay="r1b1")
    found = only(builder, "laminate.bays_examined")
    assert found.verdict is SILENT
    assert "1 of 30 bays. Not examined yet: r1b2," in found.exact
    builder.add("sign_off", stage="laminate")
    assert only(builder, "laminate.bays_examined").verdict is OUT


def test_no_examination_at_all_is_not_recorded() -> None:
    assert only(equipped(), "laminate.bays_examined").verdict is SILENT
