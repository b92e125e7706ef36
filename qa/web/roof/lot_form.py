"""The form by which a batch is registered, proposed from an earlier job where one is chosen."""

from __future__ import annotations

from collections.abc import Collection
from typing import ClassVar

from qa.record.fields import LONGEST_KEY, Json
from qa.record.kinds.supplies import Lot, Unit
from qa.record.schema import written
from qa.texts.saying import say_count, to_say
from qa.trade.notation import number_text, unit_text
from qa.trade.vocabulary import Material
from qa.web.form_fields import ChoiceField, NumberField, Option, WordsField
from qa.web.roof.day_field import DayField
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.wording import begun

UNIT_WORDS = {
    Unit.KG: "kg",
    Unit.L: to_say("litres"),
    Unit.M2: unit_text("m2"),
    Unit.M: to_say("metres"),
    Unit.PIECE: to_say("pieces"),
}
_SOME = 2
"""Stands for any number that is not whole where a language has a form for one and for several."""
_LONGEST = LONGEST_KEY - len(" (999)")
_PROPOSED = (
    "material", "product", "batch_number", "unit", "use_by", "density_g_per_ml",
    "active_oxygen_pct",
)  # fmt: skip


def amount_text(amount: float, unit: Unit) -> str:
    """A quantity of a batch in its own unit: "1 piece", "2.5 litres"."""
    count = int(amount) if float(amount).is_integer() else _SOME
    shown = number_text(amount)
    match unit:
        case Unit.L:
            return say_count("%(shown)s litre", "%(shown)s litres", count, shown=shown)
        case Unit.M:
            return say_count("%(shown)s metre", "%(shown)s metres", count, shown=shown)
        case Unit.PIECE:
            return say_count("%(shown)s piece", "%(shown)s pieces", count, shown=shown)
    return f"{shown} {UNIT_WORDS[unit]}"


class LotForm(PhotoForm):
    """One batch of one product, as it came to the job."""

    PATHS: ClassVar = {"photos": "file"}

    material = ChoiceField(
        to_say("Material"),
        options=[Option(value=one, label=begun(one.value)) for one in Material],
        required=True,
    )
    product = WordsField(to_say("Product, as the label says"), required=True)
    batch_number = WordsField(to_say("Batch number"), required=True)
    use_by = DayField(to_say("Use by"), optional_word=to_say("where the label says it"))
    quantity = NumberField(
        to_say("Quantity"), required=True, hint=to_say("What came to this job of it.")
    )
    unit = ChoiceField(
        to_say("Unit"),
        options=[Option(value=one, label=words) for one, words in UNIT_WORDS.items()],
        required=True,
        hint=to_say(
            "As you will weigh or measure it: resin and topcoat in kg, catalyst in litres."
        ),
    )
    density_g_per_ml = NumberField(
        to_say("Density"), unit="g/ml", optional_word=to_say("from the data sheet"),
        hint=to_say("A catalyst’s dose by mass follows from it."),
    )  # fmt: skip
    active_oxygen_pct = NumberField(
        to_say("Active oxygen"),
        unit="%",
        optional_word=to_say("of a catalyst, from the data sheet"),
    )

    def body(self, key: str) -> dict[str, Json]:
        """The lot's body.

        Args:
            key: its name in the record.
        """
        typed = {name: self[name].data for name in _PROPOSED}
        return {"lot": key, "quantity": self.quantity.data, **typed}


def proposal(lot: Lot) -> dict[str, Json]:
    """What a form proposes of a batch that is known from an earlier job; never its quantity."""
    body = written(lot)
    return {name: body[name] for name in _PROPOSED if name in body}


def free_key(name: str | None, taken: Collection[str]) -> str:
    """What the record calls something: its own name where that is free, else with a number.

    Args:
        name: a batch number, an instrument's name; as typed.
        taken: what the record calls others of its kind.
    """
    printable = "".join(sign for sign in name or "" if sign.isprintable())
    word = " ".join(printable.split())[:_LONGEST].strip() or "unnamed"
    number = 2
    key = word
    while key in taken:
        key = f"{word} ({number})"
        number += 1
    return key
