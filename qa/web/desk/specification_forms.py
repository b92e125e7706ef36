"""Which form a table of a specification is changed by."""

from __future__ import annotations

from typing import Any

from qa.services.specification_drafts import LineOfDraft
from qa.specification.editing import HEAD
from qa.specification.known_checks import KNOWN_CHECKS
from qa.texts.saying import to_say
from qa.trade.conformity import DecisionRule
from qa.trade.vocabulary import Stage
from qa.web.desk.figure_text import SentenceField
from qa.web.desk.specification_check_form import check_form
from qa.web.desk.specification_figure_forms import figure_form
from qa.web.desk.specification_line_form import LineForm
from qa.web.desk.specification_stage_form import stage_form
from qa.web.form_fields import ChoiceField, Option


class HeadForm(LineForm):
    """What the specification is, and how a value is compared with its limits."""

    title = SentenceField(to_say("Title"), required=True)
    note = SentenceField(
        to_say("What a reader must know before trusting it"), lines=4, required=True
    )
    decision_rule = ChoiceField(
        to_say("How a value is compared with its limits"),
        required=True,
        options=(
            Option(
                value=DecisionRule.SIMPLE,
                label=to_say("The value alone"),
                hint=to_say("simple acceptance, JCGM 106:2012"),
            ),
            Option(
                value=DecisionRule.GUARDED,
                label=to_say("The value with its whole uncertainty"),
                hint=to_say("guarded acceptance, JCGM 106:2012"),
            ),
        ),
    )


def form_of(line: LineOfDraft) -> LineForm:
    """The form for a table, filled with what stands there."""
    part, _, key = line.path.partition(".")
    filled: dict[str, Any] = {"seen": line.mark, **line.table}
    if line.path == HEAD:
        return HeadForm(data=filled)
    if part == "stage":
        return stage_form(Stage(key), filled)
    if part == "check":
        return check_form(KNOWN_CHECKS[key], filled)
    return figure_form(part, filled)
