"""The form of one check: a number, or yes and no, or that it does not apply, and where."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from qa.errors import Problem, RecordError
from qa.record.fields import Json, shown
from qa.record.kinds.readings import Result
from qa.record.registry import Kind
from qa.services.recording import Draft
from qa.specification.model import Check, Form, Per
from qa.texts.saying import say, to_say
from qa.trade.notation import unit_text
from qa.trade.vocabulary import Stage
from qa.web.form_fields import ChoiceField, EarlierField, NumberField, Option, WordsField
from qa.web.roof.check_places import CheckPlace
from qa.web.roof.drafting import draft
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.wording import begun
from qa.web.saving import Moment

MAY_BE_NEGATIVE = frozenset({"survey.fall", "trims.batten_offset"})
"""A fall away from the outlet, and a batten above the first; all else is counted from nothing."""
_ANSWERS = (
    Option(value=Result.YES, label=to_say("Yes")),
    Option(value=Result.NO, label=to_say("No")),
    Option(
        value=Result.NOT_APPLICABLE, label=to_say("Does not apply"), hint=to_say("Say why below.")
    ),
)
NOT_REPLACING = "-"


class CheckForm(PhotoForm):
    """One answer to a check."""

    PATHS: ClassVar = {"photos": "file"}

    value = NumberField(to_say("Value"))
    result = ChoiceField(to_say("Answer"), options=_ANSWERS)
    place = ChoiceField(to_say("Where"), required=True)
    bay = WordsField(
        to_say("Bay"),
        hint=to_say("Such as r2b3: row 2, bay 3."),
        optional_word=to_say("if it is of one bay"),
    )
    replaces = ChoiceField(to_say("Is this a further answer, or does it replace one?"))
    instrument = ChoiceField(to_say("Instrument"), optional_word=to_say("if one was used"))
    reason = WordsField(to_say("Why it does not apply"), optional_word=to_say("only then"))
    note = WordsField(to_say("Note"), lines=2, optional_word=to_say("if there is something to say"))
    earlier = EarlierField(to_say("It was earlier"))

    def suit(
        self,
        check: Check,
        places: Sequence[CheckPlace],
        *,
        instruments: Sequence[Option],
        earlier_answers: Sequence[Option],
    ) -> None:
        """Fits the fields to a check, and takes away those that it has no use for."""
        label = begun(check.quantity)
        self.place.options = tuple(Option(value=p.value, label=p.label) for p in places)
        self.instrument.options = tuple(instruments)
        none = Option(value=NOT_REPLACING, label=say("A further answer"))
        self.replaces.options = (none, *earlier_answers)
        if check.form is Form.OBSERVED:
            del self.value, self.instrument
            self.result.label.text = f"{label}?"
            self.result.required = True
        else:
            self.value.label.text = label
            self.value.unit = unit_text(check.unit)
            self.value.signed = check.key in MAY_BE_NEGATIVE
            if check.form is Form.EITHER:
                self.result.label.text = say("Or, without a figure")
            else:
                del self.result
            if not instruments or check.unit == "1":
                del self.instrument
        if check.per is not Per.BAY:
            del self.bay
        if not earlier_answers:
            del self.replaces

    def answers(self, moment: Moment, check: Check, stage: Stage, place: CheckPlace) -> list[Draft]:
        """The entries of the answer: one, or one for each edge that is answered in one touch.

        Raises:
            RecordError: nothing was answered, or a number that cannot be.
        """
        kind, answered = self._answer(check)
        body = {"stage": stage.value, "check": check.key, "area": place.area, **answered}
        body["bay"] = self._typed("bay")
        chosen = self._typed("replaces")
        body["replaces"] = [chosen] if chosen and chosen != NOT_REPLACING else None
        edges: Sequence[str | None] = place.edges or (None,)
        return [
            draft(self, moment, kind, body | {"edge": edge}, part=f"edge-{edge}" if index else "")
            for index, edge in enumerate(edges)
        ]

    def words_apart(self, check: Check) -> str:
        """The note of a measurement, which is kept as an entry of its own; or nothing."""
        if self._typed("value") is None or not self.note.data:
            return ""
        return f"{begun(check.quantity)}: {self.note.data}"

    def _answer(self, check: Check) -> tuple[Kind, dict[str, Json]]:
        value, result = self._typed("value"), self._typed("result")
        reason = self.reason.data
        if result is None and value is None and reason:
            result = Result.NOT_APPLICABLE.value
        if value is not None and result is not None:
            raise _problem(
                "measurement.value",
                say("has a figure and an answer beside it; leave one of them out."),
            )
        if value is not None:
            if value < 0 and check.key not in MAY_BE_NEGATIVE:
                raise _problem(
                    "measurement.value",
                    say("is %(shown)s; it cannot be less than nothing.", shown=shown(value)),
                )
            measured = {"value": value, "unit": check.unit, "instrument": self._typed("instrument")}
            return Kind.MEASUREMENT, measured
        if result is None:
            missing = say("is missing; type it, or say why it does not apply.")
            raise _problem("measurement.value", missing)
        return Kind.OBSERVATION, {"result": result, "reason": reason, "note": self.note.data}

    def _typed(self, name: str) -> Json:
        field = self._fields.get(name)
        return None if field is None else field.data


def _problem(field: str, sentence: str) -> RecordError:
    problem = Problem(place="this form", sentence=f"{field} {sentence}", field=field)
    return RecordError((problem,))
