from __future__ import annotations

import pytest

from qa.packs.drawing import DosedMix, DosePanel, DosePlot, draw_dose_plot
from tests.unit.packs.drawing.reading_svg import title_of, words_of
from tests.unit.packs.drawing.samples import CHART, MIXES, mix


def plot(*mixes: DosedMix) -> str:
    return draw_dose_plot(DosePlot(panels=(DosePanel(title="Resin", chart=CHART, mixes=mixes),)))


def test_every_mix_is_named_and_those_outside_with_their_dose() -> None:
    words = words_of(plot(*MIXES))
    assert {"1", "2", "3", "4, 24", "5", "1 is mix-1"} <= set(words)


def test_mixes_that_share_no_start_keep_their_names() -> None:
    words = words_of(plot(mix("north", 15.0, 30.0), mix("south", 8.0, 38.0)))
    assert {"north", "south"} <= set(words)


def test_target_and_band_are_named_directly() -> None:
    assert {"target", "accepted"} <= set(words_of(plot()))


def test_a_dose_far_off_says_what_it_was() -> None:
    words = words_of(plot(mix("mix-9", 15.0, 200.0, is_outside=True)))
    assert "9, 200" in words


def test_a_temperature_far_off_says_what_it_was() -> None:
    words = words_of(plot(mix("mix-9", -20.0, 40.0, is_outside=True)))
    assert "9, 40 at −20 °C" in words


def test_sixty_mixes_on_one_spot_are_counted_not_piled_up() -> None:
    words = words_of(plot(*(mix(f"first {n}th", 15.0, 30.0) for n in range(60))))
    named = sum(word.startswith("first") for word in words)
    assert 0 < named < 60
    assert f"{60 - named} too close to be named: see the table of mixes" in words


def test_mixes_outside_are_named_before_the_others() -> None:
    crowd = [mix(f"mix-{n}", 15.0, 30.0) for n in range(60)]
    words = words_of(plot(*crowd, mix("bad", 15.0, 24.0, is_outside=True)))
    assert "bad, 24" in words


@pytest.mark.parametrize("count", [0, 1, 3])
def test_any_number_of_panels_is_drawn(count: int) -> None:
    panels = tuple(DosePanel(title=f"Panel {n}", chart=CHART, mixes=()) for n in range(count))
    words = words_of(draw_dose_plot(DosePlot(panels=panels)))
    assert words.count("No mix is recorded.") == count
    assert ("No dose chart applies to this job." in words) == (count == 0)


def test_title_counts_mixes_and_names_those_outside() -> None:
    assert title_of(plot(*MIXES)).endswith("Resin, 5 mixes, 1 outside (mix-4).")
