"""The form of one mix: few figures, large steps, everything else proposed."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from qa.record.fields import Json
from qa.record.kinds.supplies import Lot
from qa.services.mix_table import MixTable
from qa.texts.saying import to_say
from qa.web.form_fields import Option, WordsField
from qa.web.forms import ChoiceField, EarlierField, NumberField, SiteForm

_BAY = re.compile(r"[^\s,;]+")


class BaysField(WordsField):
    """Bays by their keys, typed or ticked as proposed; its data is a tuple of them."""

    def process_data(self, value: Any) -> None:
        """Takes the keys that the program gives."""
        self.data = tuple(value or ())
        self.typed = " ".join(self.data)

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the keys of every value that was sent, each once."""
        self.typed = str(valuelist[0]) if valuelist else ""
        keys = _BAY.findall(" ".join(str(value) for value in valuelist).lower())
        self.data = tuple(dict.fromkeys(keys))


class MixForm(SiteForm):
    """One bucket, dosed and used."""

    PATHS: ClassVar[Mapping[str, str]] = {"lot_typed": "lot", "catalyst_lot_typed": "catalyst_lot"}

    kg = NumberField(to_say("Mass in the bucket"), unit="kg", required=True)
    deck_c = NumberField(to_say("Deck temperature"), unit="°C", signed=True, required=True)
    catalyst_ml = NumberField(to_say("Catalyst really used"), unit="ml", required=True)
    stirred_before_s = NumberField(to_say("Stirred before the catalyst"), unit="s")
    stirred_after_s = NumberField(to_say("Stirred after the catalyst"), unit="s")
    area = ChoiceField(to_say("Area"), required=True)
    lot = ChoiceField(to_say("Batch"))
    lot_typed = WordsField(to_say("Another batch: its number on the label"))
    catalyst_lot = ChoiceField(to_say("Catalyst batch"))
    catalyst_lot_typed = WordsField(to_say("Another catalyst batch: its number on the label"))
    bays = BaysField(
        to_say("Other bays"), hint=to_say("Their keys from the plan, such as r1b4 r1b5.")
    )
    earlier = EarlierField(to_say("It was earlier"))

    def propose(self, table: MixTable) -> None:
        """Offers what the job has, and fills in what was used last; what was sent stays."""
        self.area.options = tuple(Option(value=key, label=name) for key, name in table.areas)
        self.lot.options = _lot_options(table.lots)
        self.catalyst_lot.options = _lot_options(table.catalyst_lots)
        if self.sent:
            return
        last = table.last
        self.area.process_data(table.area)
        self.kg.process_data(table.first_mix_kg or (None if last is None else last.kg))
        look = table.looks.in_force
        self.deck_c.process_data(None if look is None else look.deck_c)
        self.lot.process_data(_proposed(table.lots, None if last is None else last.lot))
        self.catalyst_lot.process_data(
            _proposed(table.catalyst_lots, None if last is None else last.catalyst_lot)
        )

    def body(self, stage: str) -> Mapping[str, Json]:
        """The body of the mix without its key; None stands for what was left empty."""
        return {
            "stage": stage,
            "area": self.area.data,
            "bays": list(self.bays.data) or None,
            "lot": self.lot_typed.data or self.lot.data,
            "kg": self.kg.data,
            "catalyst_lot": self.catalyst_lot_typed.data or self.catalyst_lot.data,
            "catalyst_ml": self.catalyst_ml.data,
            "deck_c": self.deck_c.data,
            "stirred_before_s": self.stirred_before_s.data,
            "stirred_after_s": self.stirred_after_s.data,
        }


def _lot_options(lots: Sequence[Lot]) -> tuple[Option, ...]:
    return tuple(Option(value=lot.lot, label=lot.batch_number, hint=lot.product) for lot in lots)


def _proposed(lots: Sequence[Lot], last: str | None) -> str | None:
    """The lot that was used last, else the one that was registered last."""
    keys = [lot.lot for lot in lots]
    if last in keys:
        return last
    return keys[-1] if keys else None
