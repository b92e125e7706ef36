"""Instruments at work on the deck: moisture, deck temperature, air and humidity."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, radians, sin

from qa.photos.drawn import boards, display
from qa.photos.drawn.bounds import require
from qa.photos.drawn.camera import Vector
from qa.photos.drawn.deck_details import NEAR_SCALE, boarded
from qa.photos.drawn.light import Light
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Solids
from qa.photos.drawn.studio import Exposure, Studio

BLACK_TUBE: tuple[Colour, ...] = (
    (26, 26, 28),
    (48, 49, 52),
    (92, 94, 98),
    (54, 55, 58),
    (22, 22, 24),
)
STEEL_TUBE: tuple[Colour, ...] = (
    (92, 94, 96),
    (170, 172, 174),
    (232, 234, 236),
    (150, 152, 154),
    (78, 80, 82),
)
THICK_M = 0.026

Probe = Callable[[Solids, Vector], Vector]
"""Draws a probe with its tip at a place, and returns where its cable begins."""

CABLE: tuple[Colour, ...] = ((18, 18, 19), (40, 41, 43), (86, 88, 92))


def _instrument_on_deck(
    studio: Studio,
    title: str,
    lines: tuple[tuple[str, str], ...],
    accent: Colour,
    probe: Probe | None,
) -> Exposure:
    """Lay an instrument on the boards, with its probe beside it."""
    rng, light = studio.rng, studio.light
    camera = studio.over(0.37, 57.0, (-0.045, 0.015, 0.0))
    plan = studio.plan_under(camera, NEAR_SCALE)
    boarded(studio, plan, 0.13 + rng.uniform(-0.02, 0.03), 0.12)
    boards.nails_at(plan, rng, [(-0.19, y) for y in (-0.17, 0.03, 0.21)])
    angle = radians(rng.uniform(-14, 10))
    turn = (cos(angle), sin(angle))
    body = display.face(82, 150, title, lines, accent)
    corner = (-0.06 + rng.uniform(-0.02, 0.02), 0.075)
    display.shadow_of(plan, light, body.size, corner, turn, THICK_M)
    tip = (-0.150 + rng.uniform(-0.015, 0.015), -0.02 + rng.uniform(-0.02, 0.03), 0.0)
    if probe:
        _probe_shadow(plan, light, tip)
    plan.lit(light)
    plate = studio.plate(camera)
    plan.stand(plate)
    if probe:
        with plate.solids() as layer:
            socket = (corner[0] + turn[0] * 0.041, corner[1] + turn[1] * 0.041, 0.014)
            _cable(layer, probe(layer, tip), socket)
    display.set_down(plate, light, body, corner, turn, THICK_M)
    return Exposure(plate=plate, sharp_rows=(0.14, 0.95))


def _probe_shadow(plan: Plan, light: Light, tip: Vector) -> None:
    """Darken the board at a probe's foot and where its handle keeps the sun off."""
    x, y, _ = tip
    reach = 0.10 / max(0.4, light.sun[2]) * light.direct
    end_x, end_y = x - light.sun[0] * reach, y - light.sun[1] * reach
    handle = [(x - 0.012, y), (x + 0.012, y), (end_x + 0.012, end_y), (end_x - 0.012, end_y)]
    plan.shadow([handle], 0.004, 0.45)
    left, right, near, far = x - 0.02, x + 0.02, y - 0.012, y + 0.014
    plan.shadow([[(left, near), (right, near), (right, far), (left, far)]], 0.008, 0.5)


def _pins(layer: Solids, tip: Vector) -> Vector:
    """Draw a handle whose two pins stand in the board; return where its cable begins."""
    for side in (-0.008, 0.008):
        foot = (tip[0] + side, tip[1], 0.0)
        layer.tube(foot, (foot[0], foot[1], 0.026), 0.0016, STEEL_TUBE)
    low, high = (tip[0], tip[1], 0.024), (tip[0], tip[1] + 0.006, 0.108)
    layer.tube((low[0], low[1], 0.022), (low[0], low[1], 0.034), 0.0165, STEEL_TUBE)
    layer.tube((low[0], low[1], 0.032), high, 0.0135, BLACK_TUBE)
    layer.bead([high], 0.0135, ((36, 37, 39), (58, 60, 63), (84, 86, 90)))
    return high


def _puck(layer: Solids, tip: Vector) -> Vector:
    """Draw a contact probe pressed to the board; return where its cable begins."""
    layer.tube(tip, (tip[0], tip[1], 0.010), 0.013, STEEL_TUBE)
    layer.tube((tip[0], tip[1], 0.008), (tip[0], tip[1] + 0.02, 0.085), 0.0085, BLACK_TUBE)
    end = (tip[0], tip[1] + 0.02, 0.085)
    layer.bead([end], 0.0085, ((36, 37, 39), (58, 60, 63), (84, 86, 90)))
    return end


def _cable(layer: Solids, start: Vector, end: Vector) -> None:
    """Draw a slack cable, out over the deck and back to the instrument."""
    path = []
    for step in range(260):
        t = step / 259
        out = (start[0] + 0.01, start[1] + 0.14, 0.02)
        back = (end[0] - 0.02, end[1] + 0.13, 0.004)
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        x, y, z = (
            sum(w * p[axis] for w, p in zip(weights, (start, out, back, end), strict=True))
            for axis in range(3)
        )
        path.append((x, y, z))
    layer.bead(path, 0.0027, CABLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureMeter:
    """A moisture meter with its pins in a board.

    Attributes:
        moisture_pct: the reading, 0 to 99.9 %.
    """

    moisture_pct: float

    def __post_init__(self) -> None:
        require("moisture, %", self.moisture_pct, 0, 99.9)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        lines = ((f"{self.moisture_pct:.1f}", "%"),)
        return _instrument_on_deck(studio, "wood moisture", lines, (206, 138, 40), _pins)


@dataclass(frozen=True, slots=True, kw_only=True)
class DeckThermometer:
    """A thermometer whose contact probe stands on the deck.

    Attributes:
        deck_c: the reading, -99.9 to 99.9 °C.
    """

    deck_c: float

    def __post_init__(self) -> None:
        require("deck temperature, °C", self.deck_c, -40, 99.9)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        lines = ((f"{self.deck_c:.1f}", "°C"),)
        return _instrument_on_deck(studio, "surface temperature", lines, (70, 98, 122), _puck)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirMeter:
    """A thermometer and hygrometer for the air.

    Attributes:
        air_c: the temperature, -99.9 to 99.9 °C.
        humidity_pct: the relative humidity, 0 to 100 %.
    """

    air_c: float
    humidity_pct: float

    def __post_init__(self) -> None:
        require("air temperature, °C", self.air_c, -40, 99.9)
        require("relative humidity, %", self.humidity_pct, 0, 100)

    def expose(self, studio: Studio) -> Exposure:
        """Return the drawn plate."""
        lines = ((f"{self.air_c:.1f}", "°C"), (f"{self.humidity_pct:.0f}", "% rh"))
        return _instrument_on_deck(studio, "air", lines, (92, 112, 84), None)
