"""The form of one look at a bay: how it looks, what is in it, and what else was gauged."""

from __future__ import annotations

import re
from typing import ClassVar

from qa.record.fields import Json
from qa.record.registry import Kind
from qa.services.examining import SeenBay
from qa.services.recording import Draft
from qa.texts.saying import to_say
from qa.trade.vocabulary import Stage, WetOut
from qa.web.form_fields import CountField, EarlierField, WordsField, YesField, read_figure
from qa.web.forms import ChoiceField, NumberField, Option
from qa.web.roof.drafting import draft
from qa.web.roof.kept_photos import PhotoForm
from qa.web.saving import Moment

LOOKS = (
    Option(value=WetOut.TRANSPARENT, label=to_say("Transparent")),
    Option(value=WetOut.WHITE_PATCHES, label=to_say("White patches")),
    Option(value=WetOut.DRY, label=to_say("Dry")),
)
_BETWEEN = re.compile(r"[\s;]+")


class FiguresField(WordsField):
    """Several figures with spaces between them; its data is a list of numbers, or None."""

    def read(self, text: str) -> list[float]:
        """The numbers that a text stands for."""
        return [read_figure(part) for part in _BETWEEN.split(text) if part]


class BayForm(PhotoForm):
    """One look at a bay."""

    PATHS: ClassVar = {"photos": "file", "words": "text"}

    pinholes = CountField(to_say("Pinholes"))
    trapped_air = CountField(to_say("Voids of trapped air"))
    wet_out = ChoiceField(to_say("How it looks"), options=LOOKS, required=True)
    opaque_cm2 = NumberField(to_say("White or dry, in all"), unit="cm²")
    words = WordsField(to_say("A word about it"), lines=2)
    after_repair = YesField(to_say("It was repaired before this look"))
    examined_m2 = NumberField(to_say("Examined"), unit="m²", required=True)
    passes = CountField(to_say("Passes of the roller"))
    thickness_mm = FiguresField(
        to_say("Thickness, mm"), hint=to_say("One or more, such as 1.4 1.5 1.3")
    )
    earlier = EarlierField(to_say("It was earlier"))

    def propose(self, seen: SeenBay, *, passes: int | None) -> None:
        """Fills in what is usual: nothing found, the whole bay, repaired if it was at fault.

        Args:
            seen: the bay.
            passes: how often the roller passed over the bay looked at before, where that is known.
        """
        if self.sent:
            return
        self.pinholes.process_data(0)
        self.trapped_air.process_data(0)
        self.passes.process_data(passes)
        self.examined_m2.process_data(round(seen.bay.area_m2, 2))
        self.after_repair.process_data(bool(seen.open_looks))

    @property
    def says_why(self) -> bool:
        """Whether there is a word, a photograph or a size beside how it looks."""
        return bool(self.words.data or self.digests or self.photos.data) or (
            self.opaque_cm2.data is not None
        )

    def drafts(self, moment: Moment, area: str, seen: SeenBay) -> list[Draft]:
        """The examination, and the photographs and the word beside it."""
        shown: dict[str, Json] = {
            "stage": Stage.LAMINATE.value,
            "area": area,
            "bay": seen.bay.key,
        }
        drafts = [draft(self, moment, Kind.EXAMINATION, self._body(area, seen))]
        drafts += self.photo_drafts(moment, shown)
        if self.words.data:
            note = {"text": f"Bay {seen.bay.key}: {self.words.data}", "area": area}
            note["stage"] = Stage.LAMINATE.value
            drafts.append(draft(self, moment, Kind.NOTE, note, part="word"))
        return drafts

    def _body(self, area: str, seen: SeenBay) -> dict[str, Json]:
        is_repaired = self.after_repair.data
        return {
            "area": area,
            "bay": seen.bay.key,
            "wet_out": self.wet_out.data,
            "opaque_cm2": self.opaque_cm2.data,
            "pinholes": self.pinholes.data or 0,
            "trapped_air": self.trapped_air.data,
            "examined_m2": self.examined_m2.data,
            "passes": self.passes.data,
            "thickness_mm": self.thickness_mm.data,
            "after_repair": True if is_repaired else None,
            "replaces": list(seen.open_looks) or None if is_repaired else None,
        }
