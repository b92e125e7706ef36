"""Levels of a job's areas: which edges drain, and what is said of the rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.errors import LaidtrueError
from qa.record.folder import write_folder
from qa.services.surveying import survey_falls
from qa.services.taking_off import take_off_roof
from qa.trade.drainage import Drains
from qa.trade.ordering import Item
from tests.factories import RecordBuilder

DENTED = [[0, 0, 0], [6, 0, 0], [6, 4, 0.1], [0, 4, 0.1], [3, 2, -0.01]]


def folder(tmp_path: Path, builder: RecordBuilder) -> Path:
    path = tmp_path / "job"
    write_folder(builder.record(), (), path)
    return path


def test_drip_edge_of_a_record_drains(tmp_path: Path) -> None:
    """The eaves are 6 m like the wall: the order of the record tells which is which."""
    builder = RecordBuilder.opened()
    builder.add("area", levels_m=DENTED)
    (found,) = survey_falls(folder(tmp_path, builder))
    assert found.area.ways.drains == Drains(edges_m=(((0.0, 0.0), (6.0, 0.0)),))
    assert found.study.plane.direction_deg == pytest.approx(270.0)
    assert found.study.hollows is not None
    (hollow,) = found.study.hollows
    assert hollow.deepest_mm == pytest.approx(10.0)


def test_edge_that_cannot_be_placed_is_named(tmp_path: Path) -> None:
    builder = RecordBuilder.opened()
    edges = [
        {"edge": "eaves", "kind": "drip_edge", "length_m": 6},
        {"edge": "wall", "kind": "wall_fillet", "length_m": 6},
    ]
    builder.add("area", levels_m=DENTED, edges=edges)
    (found,) = survey_falls(folder(tmp_path, builder))
    assert "drip edge eaves" in found.area.remark
    assert found.study.hollows is None


def test_only_areas_with_levels_are_answered(tmp_path: Path) -> None:
    builder = RecordBuilder.opened()
    builder.add("area", levels_m=DENTED, outlets_m=[[0, 0]])
    builder.add("area", area="porch", name="Porch")
    path = folder(tmp_path, builder)
    assert [found.area.name for found in survey_falls(path)] == ["Main roof"]
    with pytest.raises(LaidtrueError, match="no area “porch” has levels"):
        survey_falls(path, only="porch")


def test_take_off_of_a_folder_uses_measured_joists(tmp_path: Path) -> None:
    builder = RecordBuilder.opened()
    builder.add("area")
    builder.add("measurement", stage="survey", check="survey.joist_centres", value=450, unit="mm")
    builder.add(
        "measurement",
        stage="survey",
        check="survey.joist_centres",
        value=600,
        unit="mm",
        area="main",
    )
    taken = take_off_roof(folder(tmp_path, builder), deck_c=12.0)
    fixings = next(line for line in taken.take_off.lines if line.item is Item.DECK_FIXING)
    assert "11 joists at 600 mm" in fixings.portions[0].reckoning
    assert (taken.title, taken.firm) == ("Garage roof", "An Invented Roofing Firm")
    assert taken.dated is not None


def test_record_without_an_area_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LaidtrueError, match="names no area"):
        take_off_roof(folder(tmp_path, RecordBuilder.opened()), deck_c=12.0)
