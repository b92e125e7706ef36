"""Mass balance by lot: what was bought, what the record says was taken, what is left."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.assess.frame import frame_of
from qa.assess.lot_balance import LotBook, lot_books
from qa.trade.conformity import DecisionRule, Verdict
from tests.factories import RecordBuilder
from tests.unit.assess.sound_job import GENERAL, assessed, equipped, findings, only
from tests.unit.assess.test_guarded_rule import GUARDED


def book_of(builder: RecordBuilder, lot: str) -> LotBook:
    books = lot_books(frame_of(builder.job(), GENERAL))
    (book,) = [each for each in books if each.lot.body.lot == lot]
    return book


def lot(**fields: Any) -> RecordBuilder:
    builder = equipped()
    builder.add("lot", **({"lot": "resin-2", "quantity": 40} | fields))
    return builder


@pytest.mark.parametrize(
    ("used", "verdict"),
    # Nothing gives more than was bought of it: project choice.
    [(39.9, Verdict.WITHIN), (40, Verdict.WITHIN), (40.1, Verdict.OUTSIDE)],
)
def test_lot_gives_no_more_than_was_bought(used: float, verdict: Verdict) -> None:
    builder = lot()
    builder.add("usage", lot="resin-2", used=used)
    found = only(builder, "lot.balance", subject="resin-2")
    assert (found.verdict, found.stage, found.unit) == (verdict, "completion", "%")
    assert found.value == pytest.approx(100 * used / 40)


def test_waste_is_taken_but_not_laid() -> None:
    builder = lot()
    builder.add("usage", lot="resin-2", used=30, wasted=2)
    book = book_of(builder, "resin-2")
    assert book.balance is not None
    assert (book.balance.used, book.balance.wasted, book.balance.left_by_book) == (28, 2, 10)
    assert book.tells_waste
    found = only(builder, "lot.balance", subject="resin-2")
    assert "30 of 40 kg were taken, 2 of them wasted; left by the book: 10 kg." in found.exact


def test_mixes_stand_in_only_where_nothing_was_weighed() -> None:
    builder = lot()
    builder.add("mix", lot="resin-2", kg=5)
    builder.add("mix", lot="resin-2", kg=4, stage="bandage")
    builder.add("usage", lot="resin-2", used=7)
    book = book_of(builder, "resin-2")
    assert book.taken is not None
    assert book.taken.value == 11


def test_catalyst_is_booked_from_every_mix() -> None:
    builder = lot(lot="catalyst-2", material="catalyst", quantity=3, unit="l")
    for _ in range(3):
        builder.add("mix", catalyst_lot="catalyst-2", catalyst_ml=150)
    book = book_of(builder, "catalyst-2")
    assert book.taken is not None
    assert book.taken.value == pytest.approx(0.45)


def test_density_turns_litres_into_kg_and_back() -> None:
    in_kg = lot(density_g_per_ml=1.1)
    in_kg.add("usage", lot="resin-2", used=10, unit="l")
    assert only(in_kg, "lot.balance", subject="resin-2").value == pytest.approx(100 * 11 / 40)
    in_litres = lot(density_g_per_ml=1.1, unit="l")
    in_litres.add("usage", lot="resin-2", used=11, unit="kg")
    assert only(in_litres, "lot.balance", subject="resin-2").value == pytest.approx(25)


def test_catalyst_without_density_takes_the_general_one() -> None:
    builder = lot(lot="catalyst-2", material="catalyst", quantity=2)
    builder.add("mix", catalyst_lot="catalyst-2", catalyst_ml=500)
    # 1.18 g/ml: a maker's published data sheet for MEKP in dimethyl phthalate.
    found = only(builder, "lot.balance", subject="catalyst-2")
    assert found.value == pytest.approx(100 * 0.59 / 2)


def test_unit_that_cannot_be_turned_makes_no_balance() -> None:
    builder = lot()
    builder.add("usage", lot="resin-2", used=10, unit="l")
    book = book_of(builder, "resin-2")
    assert (book.balance, book.taken) == (None, None)
    assert findings(builder, "lot.balance", subject="resin-2") == ()


def test_untouched_lot_is_no_finding() -> None:
    assert findings(lot(), "lot.balance") == ()


def test_near_overdraft_is_open_under_the_guarded_rule() -> None:
    builder = lot()
    builder.add("usage", lot="resin-2", used=40.02)
    assert GENERAL.rule is DecisionRule.SIMPLE
    assert only(builder, "lot.balance", subject="resin-2").verdict is Verdict.OUTSIDE
    guarded = assessed(builder, GUARDED)
    found = only(guarded, "lot.balance", subject="resin-2")
    # One weighing, 0.05 kg: the specification's figure, project choice.
    assert found.expanded_uncertainty == pytest.approx(100 * 0.05 / 40)
    assert found.verdict is Verdict.UNDECIDED


def test_weighings_on_one_scale_are_wrong_together() -> None:
    builder = lot()
    for _ in range(4):
        builder.add("usage", lot="resin-2", used=5)
    found = only(builder, "lot.balance", subject="resin-2")
    assert found.expanded_uncertainty == pytest.approx(100 * 4 * 0.05 / 40)


@given(
    used=st.lists(st.floats(0, 50), min_size=1, max_size=4),
    waste=st.floats(0, 1),
    bought=st.floats(1, 100),
)
def test_what_was_bought_is_all_accounted_for(
    used: list[float], waste: float, bought: float
) -> None:
    builder = lot(quantity=bought)
    for each in used:
        builder.add("usage", lot="resin-2", used=each, wasted=each * waste)
    balance = book_of(builder, "resin-2").balance
    assert balance is not None
    told = balance.used + balance.wasted + balance.left_by_book
    assert told == pytest.approx(bought, abs=1e-9)
