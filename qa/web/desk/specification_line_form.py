"""What every form of a specification has: a mark of what was seen, a basis, a source.

Fields are called as the keys of the file. What cannot be changed, such as a unit or the stages of a
check, is taken over from the table as it stands.
"""

from __future__ import annotations

from collections.abc import Mapping

from wtforms import HiddenField

from qa.specification.model import Basis
from qa.texts.saying import to_say
from qa.web.desk.figure_text import SentenceField
from qa.web.form_fields import ChoiceField, Option, TypedField
from qa.web.forms import SiteForm

BASES = (
    Option(
        value=Basis.PUBLISHED,
        label=to_say("Published"),
        hint=to_say("a standard, a maker’s sheet or a supplier’s guide, named below"),
    ),
    Option(
        value=Basis.COMMON_PRACTICE,
        label=to_say("Common practice"),
        hint=to_say("a custom of the trade that has no published source"),
    ),
    Option(
        value=Basis.PROJECT_CHOICE,
        label=to_say("Project choice"),
        hint=to_say("a figure that you had to choose"),
    ),
)
"""What a figure may rest on."""


def basis_field() -> ChoiceField:
    """What a figure rests on; nothing stands in a specification without."""
    return ChoiceField(to_say("What it rests on"), options=BASES, required=True)


def source_field() -> SentenceField:
    """The sentence that names where a figure comes from."""
    return SentenceField(
        to_say("Source"),
        hint=to_say("Where the figure comes from, in one sentence: the sheet, edition and date."),
        lines=3,
        required=True,
    )


class LineForm(SiteForm):
    """One table of a draft.

    Attributes:
        seen: mark of what the person has seen there.
    """

    seen = HiddenField()

    def table(self, before: Mapping[str, object]) -> dict[str, object]:
        """What is to stand in the table, in the place of `before`."""
        table = dict(before)
        for field in self.line_fields:
            table.pop(field.short_name, None)
            if field.data is not None:
                is_list = isinstance(field.data, tuple)
                table[field.short_name] = list(field.data) if is_list else field.data
        return table

    @property
    def line_fields(self) -> tuple[TypedField, ...]:
        """The fields that stand for a key of the file, in their order."""
        return tuple(field for field in self.shown_fields if field.short_name != "seen")
