"""How each bay stands, from everything that was seen of it."""

from __future__ import annotations

from typing import Any

import pytest

from qa.assess.assessment import assess
from qa.services.examining import BayState, SeenBay, laid_areas, seen_bays
from qa.specification.loader import built_in
from tests.factories import RecordBuilder

SPECIFICATION = built_in("general-grp/1")


def _bays(builder: RecordBuilder) -> dict[str, SeenBay]:
    job = builder.job()
    laid = laid_areas(job, SPECIFICATION)["main"]
    bays = seen_bays(job, assess(job, SPECIFICATION).findings, "main", laid.bays)
    return {seen.bay.key: seen for seen in bays}


@pytest.mark.parametrize(
    ("fields", "state"),
    [
        ({}, BayState.TRANSPARENT),
        ({"pinholes": 1}, BayState.FLAWS),
        ({"trapped_air": 2}, BayState.FLAWS),
        ({"wet_out": "white_patches", "opaque_cm2": 30}, BayState.WHITE_PATCHES),
        ({"wet_out": "white_patches"}, BayState.WHITE_PATCHES),
        ({"wet_out": "dry"}, BayState.DRY),
    ],
)
def test_one_look_says_how_a_bay_stands(fields: dict[str, Any], state: BayState) -> None:
    builder = RecordBuilder.equipped()
    builder.add("examination", **fields)
    assert _bays(builder)["r1b1"].state is state


def test_bay_that_nobody_looked_at_is_not_examined() -> None:
    bays = _bays(RecordBuilder.equipped())
    assert {seen.state for seen in bays.values()} == {BayState.NOT_EXAMINED}
    assert sum(seen.bay.area_m2 for seen in bays.values()) == pytest.approx(24.0)


def test_repaired_bay_shows_both_looks() -> None:
    builder = RecordBuilder.equipped()
    first = builder.add("examination", wet_out="dry")
    assert _bays(builder)["r1b1"].open_looks == (first,)
    builder.add("examination", after_repair=True, replaces=[first])
    seen = _bays(builder)["r1b1"]
    assert seen.state is BayState.REPAIRED
    assert seen.looks[0].id == first
    assert len(seen.looks) == 2
    assert seen.open_looks == ()


def test_repair_that_failed_leaves_the_bay_at_fault() -> None:
    builder = RecordBuilder.equipped()
    first = builder.add("examination", wet_out="dry")
    builder.add("examination", wet_out="white_patches", after_repair=True, replaces=[first])
    seen = _bays(builder)["r1b1"]
    assert seen.state is BayState.WHITE_PATCHES
    assert seen.open_looks


def test_letters_tell_the_states_apart() -> None:
    letters = [state.letter for state in BayState]
    assert len(set(letters)) == len(letters)
