"""The form of photographs: what they show first, taken from what the stage still asks for."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, ClassVar

from wtforms import HiddenField

from qa.assess.photo_requests import MissingPhotos, PhotoPlace
from qa.errors import NotFoundError
from qa.record.fields import Json
from qa.texts.saying import say, to_say
from qa.web.form_fields import ChoiceField, CountField, EarlierField, Option, WordsField
from qa.web.roof.check_places import area_and_edge
from qa.web.roof.kept_photos import PhotoForm
from qa.web.roof.wording import begun
from qa.web.stage_names import STAGE_NAMES

OTHER = "-"
_PLACE = ("area", "check", "edge", "bay", "lot", "caption")
_DETAILS = (*_PLACE, "mix", "nonconformity")
_STAGES = tuple(Option(value=stage, label=name) for stage, name in STAGE_NAMES.items())


class ShowsField(ChoiceField):
    """What a photograph shows: one of the stage's requests, or something else.

    A request that somebody else has met meanwhile is taken all the same: a photograph that waited
    for a signal is not refused for that.
    """

    def pre_validate(self, form: Any) -> None:
        """Refuses only what no request can look like."""
        if self.data not in (None, OTHER) and place_of(self.data) is None:
            super().pre_validate(form)


class NewPhotosForm(PhotoForm):
    """Photographs of one thing."""

    PATHS: ClassVar = {"photos": "file"}

    shows = ShowsField(to_say("What it shows"))
    caption = WordsField(
        to_say("In a few words"), optional_word=to_say("if it does not speak for itself")
    )
    stage = ChoiceField(to_say("Stage"), options=_STAGES, required=True)
    area = ChoiceField(to_say("Area"))
    bay = WordsField(to_say("Bay"), hint=to_say("Such as r2b3: row 2, bay 3."))
    edge = ChoiceField(to_say("Edge"))
    lot = ChoiceField(to_say("Lot"))
    mix = ChoiceField(to_say("Mix"))
    check = ChoiceField(to_say("Check"))
    nonconformity = CountField(to_say("Number of the nonconformity"), least=1)
    earlier = EarlierField(to_say("It was earlier"))
    place = HiddenField()
    lot_entry = HiddenField()
    nonconformity_entry = HiddenField()

    def named(self, lots: Mapping[str, str], raised: Mapping[str, int]) -> dict[str, Json]:
        """What a photo entry names; details that were filled in go before the chosen request.

        Photographs that waited on the phone come here too, from the forms of checks and lots; those
        tell the place, or the entry of a lot or a nonconformity whose name the phone did not know.

        Args:
            lots: keys of the job's lots by their entries.
            raised: numbers of its nonconformities by theirs.

        Raises:
            NotFoundError: the lot or the nonconformity is not saved yet.
        """
        place = place_of(self.shows.data)
        asked: dict[str, Json] = asdict(place) if place else {}
        area, edge = area_and_edge(self.place.data)
        asked |= {"area": area, "edge": edge} if self.place.data else {}
        if self.lot_entry.data and self.lot_entry.data not in lots:
            raise NotFoundError(
                say("The lot that this photograph shows is not saved. Save it first.")
            )
        asked |= {"lot": lots[self.lot_entry.data]} if self.lot_entry.data else {}
        about = self.nonconformity_entry.data
        if about and about not in raised:
            raise NotFoundError(
                say("The nonconformity that this photograph shows is not saved. Save it first.")
            )
        asked |= {"nonconformity": raised[about]} if about else {}
        typed = {name: self[name].data for name in _DETAILS}
        named = asked | {name: value for name, value in typed.items() if value not in (None, "")}
        return named | {"stage": self.stage.data}


def place_value(place: PhotoPlace) -> str:
    """A request's place as a form sends it."""
    return json.dumps([getattr(place, name) for name in _PLACE], ensure_ascii=False)


def place_of(value: str | None) -> PhotoPlace | None:
    """The place that a form sent; None where it is none."""
    try:
        parts = json.loads(value or "")
    except ValueError:
        return None
    if not isinstance(parts, list) or len(parts) != len(_PLACE):
        return None
    if any(part is not None and not isinstance(part, str) for part in parts):
        return None
    return PhotoPlace(**dict(zip(_PLACE, parts, strict=True)))


def missing_options(missing: tuple[MissingPhotos, ...]) -> tuple[Option, ...]:
    """What a stage still asks for, as answers to choose; then something else."""
    asked: dict[str, Option] = {}
    for one in missing:
        value, text = place_value(one.wanted.place), _asked_text(one)
        if value in asked:  # two requests whose photos name the same: one answer for both
            text = f"{asked[value].label}; {text}"
        asked[value] = Option(value=value, label=begun(text))
    return (*asked.values(), Option(value=OTHER, label=say("Something else")))


def _asked_text(one: MissingPhotos) -> str:
    """What is missing; how many there are only where several are asked for."""
    is_one = not one.wanted.is_marked and one.wanted.least == 1
    return one.wanted.asked if is_one else one.text
