"""A field of which several answers may be ticked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from wtforms.validators import ValidationError

from qa.texts.saying import say
from qa.web.form_fields import Option, TypedField


class SeveralField(TypedField):
    """Any number of a few answers, each a target of its own; its data is a tuple of their values.

    The macro `several` of templates/pages/roof/_picks.html makes it.
    """

    def __init__(self, label: str, *, options: Sequence[Option] = (), **kwargs: Any) -> None:
        self.options: tuple[Option, ...] = tuple(options)
        super().__init__(label, **kwargs)

    def process_data(self, value: Any) -> None:
        """Takes the values that the program gives."""
        self.data = tuple(value or ())
        self.typed = ""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes every value that was ticked, each once."""
        self.data = tuple(dict.fromkeys(str(value) for value in valuelist if value))

    def missing(self) -> str:
        """What is said where nothing was ticked."""
        return say("Tick at least one of these.")

    def pre_validate(self, _form: Any) -> None:
        """Refuses an answer that was not offered, and none at all where one is asked for."""
        if self.required and not self.data:
            raise ValidationError(self.missing())
        if not set(self.data) <= {option.value for option in self.options}:
            raise ValidationError(
                say("One of the ticked answers is not offered any more; tick again.")
            )
