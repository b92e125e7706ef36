"""Sun and sky over the site: what they make of colours, shadows and reflections."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from math import cos, pi, radians, sin

from qa.photos.drawn.camera import Vector, dot, unit
from qa.photos.drawn.plate import Colour


class Weather(StrEnum):
    """The weather a picture is taken in."""

    SUN = "sun"
    HAZE = "haze"
    OVERCAST = "overcast"
    RAIN = "rain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """The light of one picture.

    Attributes:
        sun: unit vector towards the sun.
        direct: share of the light that comes from the sun itself, 0 to 1.
        zenith: colour of the sky overhead.
        haze: colour of the sky above the horizon.
        warmth: gain of red, green and blue.
        exposure: gain of all three.
    """

    sun: Vector
    direct: float
    zenith: Colour
    haze: Colour
    warmth: tuple[float, float, float]
    exposure: float

    def on(self, normal: Vector) -> float:
        """Return how bright a face with this unit normal is, about 0.35 to 1.15."""
        sky = 0.62 + 0.23 * normal[2]
        return sky * (1 - 0.45 * self.direct) + 0.56 * self.direct * max(0.0, dot(normal, self.sun))

    def shade(self, colour: Colour, normal: Vector) -> Colour:
        """Return a face's colour in this light."""
        return tinted(colour, self.on(unit(normal)))


_DIRECT = {Weather.SUN: 0.85, Weather.HAZE: 0.45, Weather.OVERCAST: 0.08, Weather.RAIN: 0.0}
_ZENITH: dict[Weather, Colour] = {
    Weather.SUN: (92, 140, 201),
    Weather.HAZE: (150, 177, 205),
    Weather.OVERCAST: (186, 193, 200),
    Weather.RAIN: (146, 153, 161),
}
_HAZE: dict[Weather, Colour] = {
    Weather.SUN: (206, 222, 236),
    Weather.HAZE: (222, 226, 228),
    Weather.OVERCAST: (222, 225, 226),
    Weather.RAIN: (184, 189, 193),
}
_EXPOSURE = {Weather.SUN: 1.04, Weather.HAZE: 1.08, Weather.OVERCAST: 1.04, Weather.RAIN: 0.90}


def light_at(weather: Weather, taken_at: datetime) -> Light:
    """Return the light at a time of day in the middle latitudes, about May.

    The sun rises to the right of the camera at six, stands behind it at noon and sets to the left.
    """
    hour = taken_at.hour + taken_at.minute / 60
    day = min(0.97, max(0.03, (hour - 5.0) / 15.0))
    height = radians(8 + 50 * sin(pi * day))
    round_ = pi * day
    sun = unit((cos(round_) * cos(height), -0.55 * sin(round_) * cos(height) + 0.12, sin(height)))
    low = max(0.0, 1 - sin(pi * day) * 1.25) * (0.4 + 0.6 * _DIRECT[weather])
    return Light(
        sun=sun,
        direct=_DIRECT[weather],
        zenith=_ZENITH[weather],
        haze=tinted_by(_HAZE[weather], (1.0, 1 - 0.06 * low, 1 - 0.22 * low)),
        warmth=_warmth(weather, low),
        exposure=_EXPOSURE[weather] * (1 - 0.08 * low),
    )


def _warmth(weather: Weather, low: float) -> tuple[float, float, float]:
    if weather in (Weather.SUN, Weather.HAZE):
        return (1.02 + 0.06 * low, 1.0 - 0.01 * low, 0.97 - 0.16 * low)
    if weather is Weather.RAIN:
        return (0.96, 1.0, 1.05)
    return (0.985, 1.0, 1.02 - 0.05 * low)


def tinted(colour: Colour, factor: float) -> Colour:
    """Return a colour `factor` times as bright."""
    return tinted_by(colour, (factor, factor, factor))


def tinted_by(colour: Colour, gains: tuple[float, float, float]) -> Colour:
    """Return a colour with each channel times its gain."""
    red, green, blue = (min(255, max(0, round(c * g))) for c, g in zip(colour, gains, strict=True))
    return (red, green, blue)


def mixed(a: Colour, b: Colour, share: float) -> Colour:
    """Return the colour `share` of the way from a to b."""
    red, green, blue = (round(x + (y - x) * share) for x, y in zip(a, b, strict=True))
    return (red, green, blue)
