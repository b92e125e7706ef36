"""Photographs that come with a form by plain multipart: handed in first, then named by entries.

A picture that has arrived is kept with the form by its digest, so that whoever must mend another
field need not take it again.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from wtforms import HiddenField

from qa.errors import PhotoError, TooLargeError
from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.access import Act
from qa.services.originals import hand_in
from qa.services.recording import Draft
from qa.texts.saying import to_say
from qa.web import clock
from qa.web.forms import PhotosField, SiteForm
from qa.web.frame import actor, house
from qa.web.roof.drafting import draft
from qa.web.saving import Moment

_SHA256 = re.compile(r"[0-9a-f]{64}")
_LONGEST_NAME = 60


class PhotoForm(SiteForm):
    """A form that photographs may come with.

    Attributes:
        photos: what is taken now.
        kept: digests of what has arrived already.
    """

    photos = PhotosField(
        to_say("Photograph"), many=True, optional_word=to_say("if there is one to show")
    )
    kept = HiddenField()

    @property
    def takes_photos(self) -> bool:
        """Whether the person may add photographs to the record; else the field is not shown."""
        return actor().may(Act.RECORD_WORK)

    def hand_in(self) -> None:
        """Hands the pictures of this request in; what is none is told at the field."""
        for file in (self.photos.data or ()) if self.sent and self.takes_photos else ():
            name = _short(str(file.filename))
            try:
                photo = hand_in(house(), actor(), file.stream, name=name, now=clock.now())
            except (PhotoError, TooLargeError) as error:
                self.photos.process_errors.append(str(error))
            else:
                self.kept.data = " ".join(dict.fromkeys((*self.digests, photo.sha256)))

    @property
    def digests(self) -> tuple[str, ...]:
        """Digests of the pictures that have arrived with this form."""
        return tuple(_SHA256.findall(self.kept.data or ""))

    def photo_drafts(self, moment: Moment, body: Mapping[str, Json]) -> list[Draft]:
        """A photo entry for each picture, all saying the same of what they show."""
        return [
            draft(self, moment, Kind.PHOTO, body, part=f"photo-{sha256}", original=sha256)
            for sha256 in self.digests
        ]


def _short(name: str) -> str:
    shown = "".join(sign for sign in name if sign.isprintable())
    return shown if len(shown) <= _LONGEST_NAME else f"{shown[: _LONGEST_NAME - 1]}…"
