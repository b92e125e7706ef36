"""The form of a stage: its sentences, whether it is released, and the photos that it asks for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from qa.specification.model import PhotoPer
from qa.texts.saying import to_say
from qa.trade.vocabulary import WET_STAGES, Stage
from qa.web.desk.figure_text import SentenceField
from qa.web.desk.rows_table import Column, RowsTable
from qa.web.desk.specification_line_form import LineForm
from qa.web.form_fields import ChoiceField, Option, YesField


class StageForm(LineForm):
    """What is asked of a stage as a whole, and the photos that it asks for."""

    title = SentenceField(to_say("Name of the stage"), required=True)
    plain = SentenceField(to_say("What happens in it, for the homeowner"), lines=2, required=True)
    hold_point = YesField(to_say("A supervisor releases it before the next stage begins"))
    covered_by = ChoiceField(
        to_say("Covered for good by the first mix of"), optional_word=to_say("if by any")
    )
    photos = RowsTable(
        to_say("Photos that it asks for"),
        columns=(
            Column(name="text", label=to_say("What must be seen"), kind="words", is_wide=True),
            Column(
                name="per",
                label=to_say("Once for each"),
                kind="choice",
                options=tuple(
                    Option(value=one, label=one.value.replace("_", " ")) for one in PhotoPer
                ),
            ),
            Column(name="least", label=to_say("How many at least"), kind="count"),
            Column(
                name="checks",
                label=to_say("Only photos of these checks count (empty: any)"),
                kind="keys",
                required=False,
                is_wide=True,
            ),
        ),
    )


def stage_form(stage: Stage, filled: Mapping[str, Any]) -> StageForm:
    """The form of a stage, filled with what stands there."""
    form = StageForm(data=filled)
    stages = tuple(
        Option(value=one, label=one.value.capitalize())
        for one in WET_STAGES
        if one.order > stage.order
    )
    form.covered_by.options = (Option(value="", label=to_say("None")), *stages)
    if not stages:
        del form.covered_by
    return form
