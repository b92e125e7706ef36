"""The forms of an interruption: stopped by one touch, covered, dry again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import ClassVar

from qa.assess.frame import Frame
from qa.errors import Problem, RecordError
from qa.record.kinds.readings import Cause
from qa.texts.saying import english, say, to_say
from qa.web.form_fields import ChoiceField, EarlierField, Option, WordsField
from qa.web.forms import SiteForm
from qa.web.roof.several import SeveralField

NO_COVER_YET = "Stopped; cover not yet recorded."
_CAUSES = (
    Option(value=Cause.RAIN, label=to_say("Rain")),
    Option(value=Cause.WIND, label=to_say("Wind")),
    Option(value=Cause.COLD, label=to_say("Cold")),
    Option(value=Cause.HEAT, label=to_say("Heat")),
    Option(value=Cause.OTHER, label=to_say("Another cause")),
)
_COVERS = (
    to_say("Covered with sheets, edges held down"),
    to_say("Covered in part"),
    to_say("Not covered"),
    to_say("Nothing wet was open"),
)
_ENDINGS = (
    to_say("Nothing got wet"),
    to_say("Dried; nothing was cut out"),
    to_say("Cut out what got wet, to be laid again"),
)


class StopForm(SiteForm):
    """Why the work stops."""

    cause = ChoiceField(to_say("Why the work stops"), options=_CAUSES, required=True)
    earlier = EarlierField(to_say("It was earlier"))


class CoverForm(SiteForm):
    """How the work was protected."""

    PATHS: ClassVar = {"words": "protection"}

    cover = ChoiceField(
        to_say("Cover"),
        options=[Option(value=english(words), label=words) for words in _COVERS],
        required=True,
    )
    words = WordsField(
        to_say("More about it"), lines=2, optional_word=to_say("if there is more to say")
    )
    cause = ChoiceField(to_say("Cause"), options=_CAUSES, required=True)
    area = ChoiceField(to_say("Area"), optional_word=to_say("if it is only one"))


class DryForm(SiteForm):
    """How it ended."""

    PATHS: ClassVar = {"ending": "protection"}

    ending = ChoiceField(
        to_say("What got wet"),
        options=[Option(value=english(words), label=words) for words in _ENDINGS],
        required=True,
    )
    bays = SeveralField(to_say("Bays that got wet"))
    words = WordsField(
        to_say("How it was dried"), lines=2, optional_word=to_say("if there is more to say")
    )
    earlier = EarlierField(to_say("It was dry earlier"))

    def bays_named(self) -> tuple[str | None, tuple[str, ...]]:
        """The area and the bays that were ticked.

        Raises:
            RecordError: bays of two areas; an entry speaks of one.
        """
        named = [json.loads(value) for value in self.bays.data]
        areas = {area for area, _ in named}
        if len(areas) > 1:
            sentence = say(
                "Tick bays of one area; record the other area as a correction of its own."
            )
            problem = Problem(place="this form", sentence=sentence, field="interruption.bays")
            raise RecordError((problem,))
        return next(iter(areas), None), tuple(bay for _, bay in named)


def bay_options(frame: Frame, area: str | None) -> Iterator[Option]:
    """The bays that may have got wet: those with laminate on them, or all where none is named.

    Args:
        frame: the job laid out.
        area: the only area that counts, or None for all.
    """
    laid = {(mix.body.area, bay) for mix in frame.job.mixes for bay in mix.body.bays or ()}
    laid |= {(seen.body.area, seen.body.bay) for seen in frame.job.examinations}
    for key, place in frame.areas.items():
        if area not in (None, key):
            continue
        name = f", {place.body.name}" if len(frame.areas) > 1 else ""
        for bay in place.bays:
            if (key, bay) in laid or not laid:
                yield Option(value=json.dumps([key, bay]), label=f"{bay}{name}")
