"""What is proposed for the next mix."""

from __future__ import annotations

from datetime import timedelta

import pytest

from qa.services.mix_table import BayShare, MixTable, bays_for, mix_stage, mix_table
from qa.services.mixing import next_key
from qa.specification.loader import built_in
from qa.trade.vocabulary import Stage
from tests.factories import FIRST_MORNING, RecordBuilder

SPECIFICATION = built_in("general-grp/1")


def _table(builder: RecordBuilder, stage: Stage = Stage.LAMINATE) -> MixTable:
    now = FIRST_MORNING + timedelta(hours=4)
    return mix_table(builder.job(), SPECIFICATION, stage, person="ines", now=now)


def test_resin_goes_by_the_resin_chart() -> None:
    table = _table(RecordBuilder.equipped())
    assert table.chart is SPECIFICATION.resin_dose
    assert [lot.lot for lot in table.lots] == ["resin-1"]
    assert (table.stir_before_s, table.stir_after_s) == (30, 30)


def test_topcoat_goes_by_its_own_chart_and_is_stirred_longer() -> None:
    table = _table(RecordBuilder.equipped(), Stage.TOPCOAT)
    assert table.chart is SPECIFICATION.topcoat_dose
    assert [lot.lot for lot in table.lots] == ["topcoat-1"]
    assert table.stir_after_s == 60


def test_first_mix_of_the_day_is_kept_small() -> None:
    """2 m² (common practice, no source) at 1.500 kg/m² for 450 g/m² mat: 3 kg."""
    assert _table(RecordBuilder.equipped()).first_mix_kg == pytest.approx(3.0)


def test_later_mixes_are_not_kept_small() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix", at="08:00", kg=3)
    assert _table(builder).first_mix_kg is None


def test_bays_that_a_mix_names_are_not_proposed_again() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix", at="08:00", bays=["r1b1", "r1b3"])
    builder.add("mix", at="08:10", stage="topcoat", lot="topcoat-1", bays=["r1b2"])
    assert [share.key for share in _table(builder).left][:3] == ["r1b2", "r1b4", "r1b5"]


def test_bandage_has_no_bays_to_propose() -> None:
    assert _table(RecordBuilder.equipped(), Stage.BANDAGE).left == ()


@pytest.mark.parametrize(
    ("kg", "bays"),
    [
        (None, ()),
        (0.0, ()),
        (0.75, ()),
        (0.76, ("a",)),
        (3.0, ("a", "b")),
        (99.0, ("a", "b", "c")),
    ],
)
def test_mass_serves_the_next_bays(kg: float | None, bays: tuple[str, ...]) -> None:
    left = [BayShare(key=key, kg=1.5) for key in "abc"]
    assert bays_for(left, kg) == bays


def test_stage_in_hand_is_mixed_for() -> None:
    job = RecordBuilder.equipped().job()
    assert mix_stage(job, Stage.TOPCOAT) is Stage.TOPCOAT
    assert mix_stage(job, Stage.DECK) is Stage.LAMINATE


def test_last_mix_says_the_stage_where_none_is_wet() -> None:
    builder = RecordBuilder.equipped()
    builder.add("mix", stage="bandage")
    assert mix_stage(builder.job(), Stage.COMPLETION) is Stage.BANDAGE


def test_withdrawn_mix_keeps_its_number() -> None:
    builder = RecordBuilder.equipped()
    assert next_key(builder.job()) == "mix-1"
    builder.add("mix", mix="mix-7")
    gone = builder.add("mix", mix="mix-9")
    builder.add("mix", mix="the odd one")
    builder.add("correction", corrects=gone, reason="Mistyped.", body=None)
    assert next_key(builder.job()) == "mix-10"
