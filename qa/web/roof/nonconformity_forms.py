"""The forms by which a nonconformity is raised, decided and closed."""

from __future__ import annotations

from typing import Any, ClassVar

from qa.record.kinds.decisions import DispositionDecision
from qa.texts.saying import say, to_say
from qa.web.form_fields import ChoiceField, CountField, EarlierField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.several import SeveralField
from qa.web.stage_names import STAGE_NAMES

_STAGES = tuple(Option(value=stage, label=name) for stage, name in STAGE_NAMES.items())
_DECISIONS = (
    Option(
        value=DispositionDecision.REWORK,
        label=to_say("Rework"),
        hint=to_say("It is put right and checked again; then it is closed with the evidence."),
    ),
    Option(
        value=DispositionDecision.CONCESSION,
        label=to_say("Concession"),
        hint=to_say("It is accepted as it is, in writing. Every pack says so."),
    ),
    Option(
        value=DispositionDecision.REJECT,
        label=to_say("Reject"),
        hint=to_say("It does not stay on the roof."),
    ),
)


class RaiseForm(PhotoForm):
    """What does not conform, and where."""

    PATHS: ClassVar = {"number": "nonconformity", "photos": "file"}

    description = WordsField(to_say("What does not conform"), lines=4, required=True)
    number = CountField(
        to_say("Number"),
        least=1,
        required=True,
        hint=to_say("Proposed: the next that is free in this job."),
    )
    stage = ChoiceField(to_say("Stage"), options=_STAGES, required=True)
    check = WordsField(to_say("Check"))
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is of one"))
    bay = WordsField(
        to_say("Bay"),
        optional_word=to_say("if it is of one"),
        hint=to_say("Such as r2b3: row 2, bay 3."),
    )
    subject = WordsField(to_say("Edge, mix or lot"), optional_word=to_say("if it is of one"))
    earlier = EarlierField(to_say("It was earlier"))


class DecideForm(SiteForm):
    """A supervisor's decision."""

    decision = ChoiceField(to_say("Decision"), options=_DECISIONS, required=True)
    reason = WordsField(to_say("Reason"), lines=3, required=True)
    authority = WordsField(
        to_say("By whose authority"),
        optional_word=to_say("for a concession"),
        hint=to_say("Who may accept it, and how they said so: the client, in a letter of 8 May."),
    )
    limit = WordsField(
        to_say("How far it goes"),
        optional_word=to_say("for a concession"),
        hint=to_say("Which place, how many, until when; no other place may lean on it."),
    )
    earlier = EarlierField(to_say("It was earlier"))

    def validate(self, extra_validators: Any = None) -> bool:
        """Whether all can be read, and a concession says who gave it and how far it goes."""
        readable: bool = super().validate(extra_validators)
        if self.decision.data != DispositionDecision.CONCESSION:
            return readable
        missing = [field for field in (self.authority, self.limit) if not field.data]
        for field in missing:
            field.errors = (*field.errors, say("A concession must say it; write it."))
        return readable and not missing


class CloseForm(PhotoForm):
    """How it was put right, and by what one can see it."""

    PATHS: ClassVar = {"photos": "file"}

    statement = WordsField(to_say("How it was put right"), lines=3, required=True)
    entries = SeveralField(
        to_say("What shows it"),
        hint=to_say("Entries made since it was raised. A rework counts only with one."),
    )
    earlier = EarlierField(to_say("It was earlier"))

    def speak_of(self, decision: DispositionDecision | None) -> None:
        """Asks in the words of what was decided: what stays as it is was not put right."""
        if decision is DispositionDecision.CONCESSION:
            self.statement.label.text = to_say("How it was left")
            self.entries.hint = to_say(
                "Entries made since it was raised: what is there, as it stays."
            )
