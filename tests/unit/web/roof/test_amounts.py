"""What is left of a batch is said as people say it."""

from __future__ import annotations

import pytest

from qa.record.kinds.supplies import Unit
from qa.web.roof.lot_form import amount_text


@pytest.mark.parametrize(
    ("amount", "unit", "said"),
    [
        (1, Unit.PIECE, "1 piece"),
        (3, Unit.PIECE, "3 pieces"),
        (1, Unit.L, "1 litre"),
        (1.25, Unit.L, "1.25 litres"),
        (0, Unit.M, "0 metres"),
        (1, Unit.KG, "1 kg"),
        (7.2, Unit.M2, "7.2 m²"),
    ],
)
def test_amount_has_the_form_of_its_number(amount: float, unit: Unit, said: str) -> None:
    assert amount_text(amount, unit) == said
