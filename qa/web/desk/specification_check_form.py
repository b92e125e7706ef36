"""The form of a check: limits, how it is answered, sentences, basis and source."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from qa.specification.known_checks import KnownCheck, LimitKind
from qa.specification.model import Form, Need, Per
from qa.texts.saying import to_say
from qa.trade.notation import unit_text
from qa.web.desk.figure_text import CELSIUS, ExactField, SentenceField
from qa.web.desk.specification_line_form import LineForm, basis_field, source_field
from qa.web.form_fields import ChoiceField, Option


class CheckForm(LineForm):
    """One check: limits, how it is answered, sentences, basis and source."""

    lower = ExactField(to_say("Lower limit"), optional_word=to_say("if there is one"))
    upper = ExactField(to_say("Upper limit"), optional_word=to_say("if there is one"))
    below_pct = ExactField(
        to_say("Accepted below what is expected"),
        unit="%",
        optional_word=to_say("if there is a limit"),
    )
    above_pct = ExactField(
        to_say("Accepted above what is expected"),
        unit="%",
        optional_word=to_say("if there is a limit"),
    )
    basis = basis_field()
    source = source_field()
    need = ChoiceField(
        to_say("Where nobody answers it"),
        required=True,
        options=(
            Option(value=Need.ALWAYS, label=to_say("The missing answer is a finding")),
            Option(value=Need.IF_RECORDED, label=to_say("It is judged only where it was recorded")),
        ),
    )
    form = ChoiceField(
        to_say("How it is answered"),
        required=True,
        options=(
            Option(value=Form.MEASURED, label=to_say("Measured")),
            Option(value=Form.OBSERVED, label=to_say("Yes or no")),
            Option(value=Form.EITHER, label=to_say("Either")),
        ),
    )
    per = ChoiceField(
        to_say("One answer is about"),
        required=True,
        options=(
            Option(value=Per.JOB, label=to_say("the job")),
            Option(value=Per.AREA, label=to_say("an area")),
            Option(value=Per.EDGE, label=to_say("an edge")),
            Option(value=Per.BAY, label=to_say("a bay")),
        ),
    )
    expects = ChoiceField(
        to_say("The good answer"),
        optional_word=to_say("for yes or no"),
        options=(
            Option(value="yes", label=to_say("Yes")),
            Option(value="no", label=to_say("No")),
        ),
    )
    quantity = SentenceField(
        to_say("What is measured or seen, for an expert"), lines=2, required=True
    )
    plain = SentenceField(to_say("How the homeowner’s sentence begins"), lines=2, required=True)
    plain_good = SentenceField(
        to_say("The homeowner’s sentence for a good answer"),
        lines=2,
        optional_word=to_say("for yes or no"),
    )
    plain_bad = SentenceField(
        to_say("The homeowner’s sentence for a bad answer"),
        lines=2,
        optional_word=to_say("for yes or no"),
    )


def check_form(known: KnownCheck, filled: Mapping[str, Any]) -> CheckForm:
    """The fields that have a meaning for a check; a unit is never changed."""
    form = CheckForm(data=filled)
    for name in _without_meaning(known):
        del form[name]
    for name in ("lower", "upper"):
        if name in form:
            form[name].unit = unit_text(known.unit or "")
            form[name].signed = known.unit == CELSIUS
    if "form" in form:
        form.expects.options += (Option(value="", label=to_say("None: it is measured")),)
    return form


def _without_meaning(known: KnownCheck) -> set[str]:
    absolute, relative = {"lower", "upper"}, {"below_pct", "above_pct"}
    gone = relative if known.limit_kind in (LimitKind.OWN, LimitKind.OPTIONAL) else absolute
    if known.unit is None or known.limit_kind is LimitKind.ELSEWHERE:
        gone = absolute | relative
    if known.computed_per is not None:
        gone |= {"form", "per"}
        gone |= {"expects", "plain_good", "plain_bad"} if known.unit is not None else set()
    return gone | ({"form"} if known.unit is None else set())
