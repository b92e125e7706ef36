"""A benchmark's line says whether its bound holds, and the runner answers for all lines."""

from __future__ import annotations

import math

import pytest

from tests.bench.__main__ import main, names
from tests.bench.line import BenchLine


def _line(ratio: float, *, bound: float = 0.5, at_most: bool = True) -> BenchLine:
    return BenchLine(
        name="pack of 120 photos",
        figure=5.1,
        unit="s",
        reference=12.75,
        ratio=ratio,
        bound=bound,
        at_most=at_most,
    )


@pytest.mark.parametrize(("ratio", "holds"), [(0.499, True), (0.5, True), (0.501, False)])
def test_upper_bound_holds_up_to_itself(ratio: float, *, holds: bool) -> None:
    assert _line(ratio).holds is holds


@pytest.mark.parametrize(("ratio", "holds"), [(0.499, False), (0.5, True), (0.501, True)])
def test_lower_bound_holds_from_itself(ratio: float, *, holds: bool) -> None:
    assert _line(ratio, at_most=False).holds is holds


@pytest.mark.parametrize("at_most", [True, False])
def test_ratio_that_is_no_number_never_holds(*, at_most: bool) -> None:
    assert not _line(math.nan, at_most=at_most).holds


def test_line_names_figures_ratio_bound_and_verdict() -> None:
    assert str(_line(0.4)) == (
        "pack of 120 photos: 5.1 s, reference 12.75 s, ratio 0.4, bound ≤ 0.5, holds"
    )


def test_runner_refuses_an_unknown_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["nothing of this name"]) == 2
    assert "No benchmark is named nothing of this name" in capsys.readouterr().err


def test_runner_is_not_a_benchmark_itself() -> None:
    assert not {"__init__", "__main__", "line"} & set(names())
