"""The forms of photographs that are brought in together."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, ClassVar

from wtforms import HiddenField
from wtforms.validators import ValidationError

from qa.errors import PhotoError, TooLargeError
from qa.services.originals import hand_in
from qa.services.photo_targets import PhotoTarget, target_of
from qa.services.waiting_photos import Placing
from qa.texts.saying import say, to_say
from qa.web import clock
from qa.web.form_fields import (
    ChoiceField,
    EarlierField,
    NumberField,
    Option,
    TypedField,
    WordsField,
)
from qa.web.forms import PhotosField, SiteForm
from qa.web.frame import actor, house
from qa.web.roof.photo_form import OTHER, ShowsField, place_of

SLOW, FAST = "slow", "fast"
_SHA256 = re.compile(r"[0-9a-f]{64}")
_LONGEST_NAME = 80


class BulkForm(SiteForm):
    """Pictures, by plain multipart or one at a time from the queue of the device.

    Attributes:
        kept: digest of one that arrived in pieces.
        name: of its file.
    """

    photos = PhotosField(to_say("Photos, as many as you like"), many=True, camera=False)
    kept = HiddenField()
    name = HiddenField()

    def handed_in(self) -> list[tuple[str, str]]:
        """Digest and name of each picture of this request; what is none is told at the field."""
        found = [(one, short_name(self.name.data or "")) for one in self._digests()]
        for file in self.photos.data or ():
            name = short_name(str(file.filename))
            try:
                photo = hand_in(house(), actor(), file.stream, name=name, now=clock.now())
            except (PhotoError, TooLargeError) as error:
                self.photos.errors = (*self.photos.errors, str(error))
            else:
                found.append((photo.sha256, name))
        if not found and not self.photos.errors:
            self.photos.errors = (say("Choose the photos first."),)
        return found

    def _digests(self) -> list[str]:
        return _SHA256.findall(self.kept.data or "")


class PlacingsField(TypedField):
    """Photographs that were ticked, each with what it was shown as; its data is their placings."""

    def process_formdata(self, valuelist: Sequence[Any]) -> None:
        """Takes what was ticked: the id, a blank, and the target."""
        self.data = tuple(filter(None, map(_placing, valuelist)))

    def pre_validate(self, _form: Any) -> None:
        """Asks for one at least."""
        if not self.data:
            raise ValidationError(say("Tick the photos first."))


def _placing(value: Any) -> Placing | None:
    waiting, _, text = str(value).partition(" ")
    target = target_of(text)
    return Placing(waiting=waiting, target=target) if waiting and target else None


class PlacingForm(SiteForm):
    """The photographs that are ticked."""

    PATHS: ClassVar = {}

    place = PlacingsField(to_say("The photos"))


class ClockForm(SiteForm):
    """How far the camera's clock was off."""

    PATHS: ClassVar = {}

    hours = NumberField(to_say("Hours"), optional_word=to_say("or none"))
    minutes = NumberField(to_say("Minutes"), optional_word=to_say("or none"))
    way = ChoiceField(
        to_say("The camera’s clock was"),
        required=True,
        options=(
            Option(
                value=SLOW,
                label=to_say("Slow"),
                hint=to_say("it showed less than the site’s clock"),
            ),
            Option(value=FAST, label=to_say("Fast"), hint=to_say("it showed more")),
        ),
    )

    @property
    def slow_min(self) -> int:
        """How far it was behind, minutes; below 0 where it was ahead."""
        length_min = 60.0 * abs(self.hours.data or 0.0) + abs(self.minutes.data or 0.0)
        whole_min: int = round(min(length_min, 1e9))
        return -whole_min if self.way.data == FAST else whole_min


class TimesForm(SiteForm):
    """When those photographs were taken whose files do not say it."""

    PATHS: ClassVar = {}

    taken = EarlierField(to_say("When all of these were taken"))


class OnePhotoForm(SiteForm):
    """What one photograph shows, and when it was taken."""

    PATHS: ClassVar = {}

    stage = ChoiceField(to_say("Stage"), required=True)
    shows = ShowsField(to_say("What it shows"), optional_word=to_say("of what the stage asks for"))
    area = ChoiceField(to_say("Area"))
    bay = WordsField(to_say("Bay"), hint=to_say("Such as r2b3: row 2, bay 3."))
    edge = ChoiceField(to_say("Edge"))
    check = ChoiceField(to_say("Check"))
    lot = ChoiceField(to_say("Batch"))
    mix = ChoiceField(to_say("Mix"))
    caption = WordsField(
        to_say("In a few words"), optional_word=to_say("if it does not speak for itself")
    )
    taken = EarlierField(to_say("When it was taken"))

    def target(self) -> PhotoTarget:
        """What the form says; details that were filled in go before the chosen request."""
        place = place_of(self.shows.data) if self.shows.data not in (None, OTHER) else None
        names = ("area", "check", "edge", "bay", "lot", "caption")
        asked = {name: getattr(place, name) if place else None for name in names}
        said = {name: self[name].data or asked[name] for name in names}
        return PhotoTarget(stage=self.stage.data, mix=self.mix.data or None, **said)


def short_name(name: str) -> str:
    """A file's name as sentences tell it."""
    shown = "".join(sign for sign in name if sign.isprintable())
    return shown if len(shown) <= _LONGEST_NAME else f"{shown[: _LONGEST_NAME - 1]}…"
