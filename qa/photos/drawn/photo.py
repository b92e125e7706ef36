"""One drawn picture: its subject, its chance, its hour and its weather; and how it is made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from random import Random

from qa.errors import DomainError
from qa.photos.drawn.develop import Place, developed, exif_of, jpeg
from qa.photos.drawn.light import Weather, light_at
from qa.photos.drawn.studio import Studio, Subject

LONG_PX, SHORT_PX = 1600, 1200


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPhoto:
    """All that decides the bytes of a drawn picture.

    Attributes:
        subject: what is in view, with its own parameters.
        seed: chooses everything that the parameters leave open.
        taken_at: the moment that the picture claims, with its offset; it also sets the sun.
        weather: the weather.
        portrait: upright rather than lying.
        place: the place that the picture claims, or None.
    """

    subject: Subject
    seed: int
    taken_at: datetime
    weather: Weather = Weather.OVERCAST
    portrait: bool = False
    place: Place | None = None

    def __post_init__(self) -> None:
        if self.taken_at.utcoffset() is None:
            raise DomainError("time of a drawn photo", self.taken_at, "a time with its offset")

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height of the picture."""
        return (SHORT_PX, LONG_PX) if self.portrait else (LONG_PX, SHORT_PX)


def draw(photo: DrawnPhoto) -> bytes:
    """Return the picture as a JPEG file; the same photo gives the same bytes."""
    width, height = photo.size_px
    rng = Random(f"{type(photo.subject).__name__} {photo.seed}")
    light = light_at(photo.weather, photo.taken_at)
    studio = Studio(rng=rng, light=light, width_px=width, height_px=height)
    exposure = photo.subject.expose(studio)
    image = developed(exposure.plate.image, light, rng, exposure.sharp_rows)
    iso = 50 if light.direct > 0.3 else 160
    return jpeg(image, exif_of(photo.taken_at, photo.size_px, photo.place, iso))
