"""The forms by which a nonconformity is raised, decided and closed."""

from __future__ import annotations

from typing import ClassVar

from qa.record.kinds.decisions import DispositionDecision
from qa.trade.vocabulary import Stage
from qa.web.form_fields import ChoiceField, CountField, EarlierField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.several import SeveralField
from qa.web.roof.wording import begun

_STAGES = tuple(Option(value=stage, label=begun(stage.value)) for stage in Stage)
_DECISIONS = (
    Option(
        value=DispositionDecision.REWORK,
        label="Rework",
        hint="It is put right and checked again; then it is closed with the evidence.",
    ),
    Option(
        value=DispositionDecision.CONCESSION,
        label="Concession",
        hint="It is accepted as it is, in writing. Every pack says so.",
    ),
    Option(value=DispositionDecision.REJECT, label="Reject", hint="It does not stay on the roof."),
)


class RaiseForm(PhotoForm):
    """What does not conform, and where."""

    PATHS: ClassVar = {"number": "nonconformity", "photos": "file"}

    description = WordsField("What does not conform", lines=4, required=True)
    number = CountField(
        "Number", least=1, required=True, hint="Proposed: the next that is free in this job."
    )
    stage = ChoiceField("Stage", options=_STAGES, required=True)
    check = WordsField("Check")
    area = ChoiceField("Area", optional_word="if it is of one")
    bay = WordsField("Bay", optional_word="if it is of one", hint="Such as r2b3: row 2, bay 3.")
    subject = WordsField("Edge, mix or lot", optional_word="if it is of one")
    earlier = EarlierField("It was earlier")


class DecideForm(SiteForm):
    """A supervisor's decision."""

    decision = ChoiceField("Decision", options=_DECISIONS, required=True)
    reason = WordsField("Reason", lines=3, required=True)
    earlier = EarlierField("It was earlier")


class CloseForm(PhotoForm):
    """How it was put right, and by what one can see it."""

    PATHS: ClassVar = {"photos": "file"}

    statement = WordsField("How it was put right", lines=3, required=True)
    entries = SeveralField(
        "What shows it", hint="Entries made since it was raised. A rework counts only with one."
    )
    earlier = EarlierField("It was earlier")
