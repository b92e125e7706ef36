"""The forms of a logger's file: the file itself, and the layout by which it is read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, ClassVar

from werkzeug.datastructures import FileStorage

from qa.services.logger_files import OpenLoggerFile
from qa.services.logger_layout import (
    MASS,
    QUANTITIES,
    SEPARATORS,
    WITHIN_MIN,
    CsvLayout,
    Decimal,
    MassUnit,
)
from qa.services.logger_times import DayOrder, clock_named
from qa.services.reading import ReadJob
from qa.texts.saying import say, to_say
from qa.web.form_fields import TypedField
from qa.web.forms import ChoiceField, NumberField, Option, SiteForm, WordsField
from qa.web.roof.several import SeveralField

_SIGNS = {sign: word for word, sign in SEPARATORS.items()}
_WORDS = {"comma": to_say("Comma"), "semicolon": to_say("Semicolon"), "tab": to_say("Tab")}
_COLUMNS = ("time", "clock_time", *QUANTITIES, MASS)
_LONGEST_MIN = 120.0
"""A weighing farther from a mix than this is none of it; project choice."""


class CsvField(TypedField):
    """A CSV file; its data is the file as it was sent."""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes the file that has a name; a browser sends an empty one where none was chosen."""
        sent = [value for value in valuelist if isinstance(value, FileStorage) and value.filename]
        self.data = sent[0] if sent else None

    def missing(self) -> str:
        """What is said where no file was chosen."""
        return say("Choose the CSV file of a logger.")


class WeighedField(SeveralField):
    """Entries whose mass a scale puts right; they are known when the file has been read."""

    def pre_validate(self, _form: Any) -> None:
        """What is not offered any more is passed over when it is saved."""


class ClockField(WordsField):
    """The name of a clock, as it was typed."""

    def read(self, text: str) -> str:
        """The name, where a clock is called so."""
        clock_named(text)
        return text


class LoggerFileForm(SiteForm):
    """A logger's file."""

    file = CsvField(to_say("The logger’s file, as CSV"), required=True)


class LayoutForm(SiteForm):
    """How a file is read, and what its readings are of."""

    PATHS: ClassVar = {}

    clock = ClockField(
        to_say("The logger’s clock"), required=True,
        hint=to_say("A zone such as Europe/London, or a fixed clock: UTC, +01:00."),
    )  # fmt: skip
    separator = ChoiceField(
        to_say("Between the columns"), required=True,
        options=tuple(Option(value=word, label=_WORDS[word]) for word in SEPARATORS),
    )  # fmt: skip
    decimal = ChoiceField(
        to_say("Decimal sign"), required=True,
        options=(
            Option(value=".", label=to_say("Point: 14.5")),
            Option(value=",", label=to_say("Comma: 14,5")),
        ),
    )  # fmt: skip
    order = ChoiceField(
        to_say("Dates"), required=True,
        options=(
            Option(value="day", label=to_say("Day first: 31/12")),
            Option(value="month", label=to_say("Month first: 12/31")),
        ),
        hint=to_say("A date that begins with the year is read as it is."),
    )  # fmt: skip
    time = ChoiceField(to_say("Date and time"), required=True)
    clock_time = ChoiceField(
        to_say("Time of day"), optional_word=to_say("if it has a column of its own")
    )
    air_c = ChoiceField(to_say("Air, °C"), optional_word=to_say("if it is there"))
    humidity_pct = ChoiceField(to_say("Humidity, %"), optional_word=to_say("if it is there"))
    deck_c = ChoiceField(to_say("Deck surface, °C"), optional_word=to_say("if it is there"))
    mass = ChoiceField(to_say("Scale"), optional_word=to_say("if it is there"))
    mass_unit = ChoiceField(
        to_say("The scale writes"),
        options=(
            Option(value=MassUnit.KG, label=to_say("Kilograms")),
            Option(value=MassUnit.G, label=to_say("Grams")),
        ),
    )
    weighed_within_min = NumberField(
        to_say("A weighing belongs to a mix or a use within"), unit="min",
        hint=to_say("Before or after it was recorded; the nearest one counts."),
    )  # fmt: skip
    weighed = WeighedField(to_say("What the scale puts right"))
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is of one area"))
    instruments = SeveralField(to_say("The logger, of the instruments of this job"))

    def offer(self, read: ReadJob, opened: OpenLoggerFile, *, anew: bool) -> None:
        """Offers the file's columns and the job's areas.

        Args:
            read: the job.
            opened: the file.
            anew: whether the layout is proposed, and not what was sent.
        """
        names = opened.headings.names
        columns = tuple(Option(value=str(at), label=name) for at, name in enumerate(names))
        for name in _COLUMNS:
            self[name].options = columns
        areas = [area.body for area in read.job.areas]
        self.area.options = (
            Option(value="", label=say("The whole roof")),
            *(Option(value=area.area, label=area.name) for area in areas),
        )
        registered = [one.body for one in read.job.instruments]
        self.instruments.options = tuple(
            Option(value=one.instrument, label=one.name, hint=one.measures) for one in registered
        )
        if anew:
            self._propose(opened.layout)
        elif not self.mass_unit.typed:  # a scale's column was chosen only now
            self._propose_scale(opened.layout)

    def offer_weighings(self, found: Sequence[Option], ticked: Sequence[str]) -> None:
        """Offers what a scale puts right.

        Args:
            found: an option for each entry whose mass it says otherwise.
            ticked: those that are ticked; what was sent where it is to be saved.
        """
        self.weighed.options = tuple(found)
        self.weighed.process_data(ticked)

    def _propose(self, layout: CsvLayout) -> None:
        for name in _COLUMNS:
            column = getattr(layout, name)
            self[name].process_data(None if column is None else str(column))
        self.separator.process_data(_SIGNS[layout.separator])
        self.decimal.process_data(layout.decimal.value)
        self.order.process_data(layout.order.value)
        self._propose_scale(layout)
        if not self.sent:
            self.clock.process_data(layout.clock)

    def _propose_scale(self, layout: CsvLayout) -> None:
        self.mass_unit.process_data(layout.mass_unit.value)
        self.weighed_within_min.process_data(layout.weighed_within_min)

    def proposed(self, opened: OpenLoggerFile) -> CsvLayout:
        """The layout that is proposed, with the clock that was typed."""
        return replace(opened.layout, clock=self.clock.data or opened.layout.clock)

    def layout(self) -> CsvLayout:
        """The layout that the form says."""
        columns = {
            name: None if self[name].data is None else int(self[name].data) for name in _COLUMNS
        }
        return CsvLayout(
            separator=SEPARATORS[self.separator.data],
            decimal=Decimal(self.decimal.data),
            order=DayOrder(self.order.data),
            clock=self.clock.data,
            mass_unit=MassUnit(self.mass_unit.data or MassUnit.KG),
            weighed_within_min=self._within_min(),
            time=columns["time"],
            clock_time=columns["clock_time"],
            air_c=columns["air_c"],
            humidity_pct=columns["humidity_pct"],
            deck_c=columns["deck_c"],
            mass=columns[MASS],
        )

    def _within_min(self) -> float:
        """How near a weighing must be, as it was typed and within reason."""
        typed = self.weighed_within_min.data
        return WITHIN_MIN if typed is None else float(min(max(typed, 0.0), _LONGEST_MIN))
