"""A specification line by line, and two of them compared."""

from __future__ import annotations

from qa.services.specification_lines import Difference, compared, grouped, lines_of
from qa.specification.loader import built_in, built_in_path
from tests.specifications import firm_file, with_limit

GENERAL = built_in_path("general-grp/1").read_bytes()


def test_every_limit_and_figure_has_its_line() -> None:
    paths = {line.path for line in lines_of(GENERAL)}
    specification = built_in("general-grp/1")
    for key in specification.checks:
        assert f"check.{key}" in paths
    assert {"chart.resin_dose", "gel_time", "figure.glass_g_per_cm3", "stage.deck"} <= paths
    assert {"planning.mat_rolls_m", "uncertainty.level_mm", "battens.drip_edge"} <= paths


def test_nothing_but_head_and_stages_lacks_a_source() -> None:
    without = {line.path for line in lines_of(GENERAL) if not (line.basis and line.source)}
    assert {path.partition(".")[0] for path in without} == {"", "stage"}


def test_limit_is_told_with_its_unit() -> None:
    (line,) = (one for one in lines_of(GENERAL) if one.path == "check.deck.moisture")
    assert ("upper", "18 %") in line.says


def test_groups_hold_every_line_once() -> None:
    lines = lines_of(GENERAL)
    assert tuple(line for group in grouped(lines) for line in group.lines) == lines


def test_version_differs_from_itself_in_nothing() -> None:
    assert compared(GENERAL, GENERAL) == ()


def test_changed_limit_is_told_with_both_sources() -> None:
    ours = with_limit(firm_file(), "check.deck.moisture", "upper", "12")
    ours = with_limit(ours, "check.deck.moisture", "source", '"A board maker’s sheet."')
    head, limit = compared(GENERAL, ours)
    assert head.differences == (
        Difference(name="name", before="general-grp/1", after="our-limits/1"),
    )
    assert Difference(name="upper", before="18 %", after="12 %") in limit.differences
    assert limit.after_source == "project choice: A board maker’s sheet."
    assert limit.before_source.startswith("project choice: Chosen by the authors")


def test_line_that_one_version_lacks_is_told() -> None:
    without = GENERAL.replace(b"[battens.raised_edge]", b"[battens.wall_fillet]")
    gone, come = compared(GENERAL, without)
    assert (gone.path, gone.after_source) == ("battens.raised_edge", "")
    assert (come.path, come.before_source) == ("battens.wall_fillet", "")
    assert Difference(name="value", before="", after="1") in come.differences
