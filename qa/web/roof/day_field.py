"""A calendar day: from the browser's own calendar, or typed as people write it here."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from qa.texts.saying import say
from qa.web.form_fields import WordsField

_TYPED = re.compile(r"(\d{1,2})[./ -](\d{1,2})[./ -](\d{2}|\d{4})")


class DayField(WordsField):
    """A day, as ISO 8601 text; "30/6/2027" and "30.6.27" are read as well."""

    def __init__(self, label: str, **kwargs: Any) -> None:
        super().__init__(label, kind="date", **kwargs)

    def read(self, text: str) -> str:
        """The day that a text stands for, as ISO 8601."""
        found = _TYPED.fullmatch(text)
        try:
            if found is None:
                return date.fromisoformat(text).isoformat()
            day, month, year = map(int, found.groups())
            return date(year if year > 99 else 2000 + year, month, day).isoformat()
        except ValueError as error:
            raise ValueError(say("This is no day; write it like 30/06/2027.")) from error
