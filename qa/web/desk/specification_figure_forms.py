"""The forms of figures: charts, gel times, single figures, battens, and sizes of containers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from qa.texts.saying import to_say
from qa.trade.notation import unit_text
from qa.web.desk.figure_text import CELSIUS, ExactField, SentenceField, exact_text
from qa.web.desk.rows_table import Column, RowsTable
from qa.web.desk.specification_line_form import BASES, LineForm, basis_field, source_field
from qa.web.form_fields import ChoiceField, Option, read_figure

DOMAIN = ("from_c", "to_c", "from_ml_per_kg", "to_ml_per_kg")
"""The ranges in which a gel time is estimated, in the order of the file."""
_NO_SIZE = to_say("“%(text)s” is no figure; write one size a line, such as 20.")


class ChartForm(LineForm):
    """A dose chart."""

    rows = RowsTable(
        to_say("Rows, from the coldest to the warmest"),
        hint=to_say(
            "Each row begins where the one before ends. A mix at a temperature outside the chart "
            "is not made."
        ),
        columns=(
            Column(name="from_c", label=to_say("From, °C")),
            Column(name="to_c", label=to_say("To, °C")),
            Column(
                name="includes_to",
                label=to_say("Its end counts"),
                kind="choice",
                required=False,
                options=(
                    Option(value="", label=to_say("no")),
                    Option(value="yes", label=to_say("yes")),
                ),
            ),
            Column(name="target_ml_per_kg", label=to_say("Target, ml/kg")),
            Column(name="lower_ml_per_kg", label=to_say("Least, ml/kg")),
            Column(name="upper_ml_per_kg", label=to_say("Most, ml/kg")),
        ),
    )
    basis = basis_field()
    source = source_field()


class GelTimeForm(LineForm):
    """Gel times that an estimate is fitted to, and where it is given."""

    points = RowsTable(
        to_say("Gel times"),
        columns=(
            Column(name="deck_c", label=to_say("Deck, °C")),
            Column(name="dose_ml_per_kg", label=to_say("Dose, ml/kg")),
            Column(name="gel_min", label=to_say("Gel time, min")),
        ),
    )
    spread_ratio = ExactField(
        to_say("Gel time of one product over another’s"),
        hint=to_say("1 or more; it sets the band of the estimate."),
        required=True,
    )
    domain_from_c = ExactField(
        to_say("An estimate is given from"), unit="°C", signed=True, required=True
    )
    domain_to_c = ExactField(to_say("up to"), unit="°C", signed=True, required=True)
    domain_from_ml_per_kg = ExactField(to_say("and from a dose of"), unit="ml/kg", required=True)
    domain_to_ml_per_kg = ExactField(to_say("up to a dose of"), unit="ml/kg", required=True)
    basis = basis_field()
    source = source_field()

    def table(self, before: Mapping[str, object]) -> dict[str, object]:
        """The table, with the ranges of the estimate in a table of their own."""
        table = super().table(before)
        domain = {key: table.pop(f"domain_{key}") for key in DOMAIN}
        return table | {"domain": domain}


class FigureForm(LineForm):
    """One figure."""

    value = ExactField(to_say("Figure"), required=True)
    basis = basis_field()
    source = source_field()


class BattensForm(FigureForm):
    """Battens behind an edge; without a figure there are none."""

    value = ExactField(to_say("Battens"), optional_word=to_say("empty where there are none"))
    basis = ChoiceField(to_say("What they rest on"), options=BASES)
    source = SentenceField(to_say("Source"), lines=3)

    def table(self, before: Mapping[str, object]) -> dict[str, object]:
        """The table; an empty one where no figure is typed."""
        return {} if self.value.data is None else super().table({"unit": "1", **before})


class SizesField(SentenceField):
    """The contents of containers, one a line; its data is a tuple of figures."""

    def read(self, text: str) -> Any:
        """The figures."""
        parts = text.replace(";", " ").split()
        return tuple(_size(part) for part in parts)

    def written(self, value: Any) -> str:
        """One a line."""
        return "\n".join(map(exact_text, value or ()))


class SizesForm(LineForm):
    """The containers that a material is sold in."""

    values = SizesField(to_say("What one holds"), lines=4, required=True)
    basis = basis_field()
    source = source_field()


def figure_form(part: str, filled: Mapping[str, Any]) -> LineForm:
    """The form of a figure, filled with what stands there.

    Args:
        part: the part of the file that it stands in, such as "chart" or "planning".
        filled: its table.
    """
    if part == "chart":
        return ChartForm(data=filled)
    if part == "gel_time":
        domain = {f"domain_{name}": filled["domain"][name] for name in DOMAIN}
        return GelTimeForm(data={**filled, **domain})
    if part == "battens":
        return BattensForm(data=filled)
    unit = unit_text(filled["unit"])
    if "values" in filled:
        sizes = SizesForm(data=filled)
        sizes.values.hint = unit
        return sizes
    figure = FigureForm(data=filled)
    figure.value.unit = unit
    figure.value.signed = filled["unit"] == CELSIUS
    return figure


def _size(text: str) -> float:
    try:
        return read_figure(text)
    except ValueError as error:
        raise ValueError(_NO_SIZE % {"text": text[:40]}) from error
