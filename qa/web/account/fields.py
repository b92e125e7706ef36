"""Fields that only the account pages have: passwords, and a choice of several."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from qa.texts.saying import say
from qa.web.form_fields import Option, TypedField, WordsField


class PasswordField(WordsField):
    """A password: taken with every blank, and never shown again on the page."""

    def __init__(self, label: str, *, autocomplete: str, **kwargs: Any) -> None:
        super().__init__(label, autocomplete=autocomplete, kind="password", **kwargs)

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes what was sent, as it is."""
        self.data = str(valuelist[0]) if valuelist and valuelist[0] else None

    def missing(self) -> str:
        """What is said where nothing was typed."""
        return say("Type the password.")


class SeveralField(TypedField):
    """Several of a few answers, each a target of its own; its data is a tuple of their values."""

    def __init__(self, label: str, *, options: Sequence[Option] = (), **kwargs: Any) -> None:
        self.options: tuple[Option, ...] = tuple(options)
        super().__init__(label, **kwargs)

    def process_data(self, value: Any) -> None:
        """Takes the values that the program gives."""
        self.data = tuple(value or ())

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes every answer that was chosen."""
        self.data = tuple(str(value) for value in valuelist)

    def pre_validate(self, _form: Any) -> None:
        """Whether the answers will do is said by the service."""
