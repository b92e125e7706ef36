"""Round vessels and what is in them."""

from __future__ import annotations

from math import cos, pi, sin

from qa.photos.drawn.camera import Vector, unit
from qa.photos.drawn.light import Light, mixed, tinted
from qa.photos.drawn.plate import Colour, Solids

SIDES = 160

RESIN: Colour = (188, 150, 112)


def ring_of(centre: Vector, radius_m: float, height_m: float) -> list[Vector]:
    """Return the points of a level ring."""
    return [
        (
            centre[0] + radius_m * cos(2 * pi * i / SIDES),
            centre[1] + radius_m * sin(2 * pi * i / SIDES),
            height_m,
        )
        for i in range(SIDES)
    ]


def wall_of(
    layer: Solids,
    light: Light,
    centre: Vector,
    low: tuple[float, float],
    high: tuple[float, float],
    colour: Colour,
    inside: bool = False,
) -> None:
    """Draw the wall of a round vessel between two (radius, height) pairs, outside or inside."""
    bottom, top = ring_of(centre, *low), ring_of(centre, *high)
    eye = layer.camera.stands
    for i in range(SIDES):
        j, turn = (i + 1) % SIDES, 2 * pi * (i + 0.5) / SIDES
        normal = (cos(turn), sin(turn), 0.0)
        toward = normal[0] * (eye[0] - centre[0]) + normal[1] * (eye[1] - centre[1]) - high[0]
        if (toward > 0) == inside:
            continue
        facing = (-normal[0], -normal[1], 0.2) if inside else normal
        around = 0.80 + 0.24 * cos(turn - 0.9) if inside else 0.90 + 0.16 * cos(turn - 3.9)
        gain = light.on(unit(facing)) / 0.72 * around
        to_eye = unit((eye[0] - centre[0], eye[1] - centre[1], 0.0))
        gloss = max(0.0, normal[0] * (to_eye[0] - 0.5) + normal[1] * to_eye[1]) ** 14 * 0.16
        layer.face(
            [bottom[i], bottom[j], top[j], top[i]],
            mixed(tinted(colour, gain), (255, 255, 255), gloss),
        )


def bucket(
    layer: Solids,
    light: Light,
    centre: Vector,
    radius_m: float,
    height_m: float,
    colour: Colour,
    resin_share: float,
) -> None:
    """Draw an open bucket of resin on a surface at the height of `centre`."""
    low, top = centre[2], centre[2] + height_m
    slim = radius_m * 0.86

    def at(share: float) -> tuple[float, float]:
        return (slim + (radius_m - slim) * share, low + height_m * share)

    layer.face(ring_of(centre, radius_m * 1.03, top), light.shade(colour, (0.0, 0.0, 1.0)))
    rounds = 9
    for i in range(rounds):
        lower, upper = (resin_share + (1 - resin_share) * (i + j) / rounds for j in (0, 1))
        deep = 0.52 + 0.40 * (i / rounds) ** 0.7
        wall_of(layer, light, centre, at(lower), at(upper), tinted(colour, deep), inside=True)
    _resin(layer, light, centre, at(resin_share))
    wall_of(layer, light, centre, at(0.0), at(1.0), colour)
    for share in (0.25, 0.5, 0.75):
        radius, z = at(share)
        wall_of(layer, light, centre, (radius, z), (radius, z + 0.0015), tinted(colour, 0.74))
    wall_of(
        layer,
        light,
        centre,
        (radius_m * 1.03, top - 0.011),
        (radius_m * 1.03, top),
        tinted(colour, 1.04),
    )


def _resin(layer: Solids, light: Light, centre: Vector, level: tuple[float, float]) -> None:
    """Draw the resin's surface: shade under the rim, the sky mirrored in the middle."""
    radius, z = level
    gain = light.on((0.0, 0.0, 1.0)) / 0.9
    rounds = 26
    for i in range(rounds):
        share = i / rounds
        tone = mixed(tinted(RESIN, 0.66 * gain), (246, 240, 230), 0.62 * share**1.8)
        middle = (centre[0] - 0.02 * share, centre[1] + radius * 0.22 * share, 0.0)
        layer.face(ring_of(middle, radius * (1 - share), z), tone)
