"""Edge trims: a cross-section drawn along a line, face by face, with the shine of gel coat.

A cross-section is a list of (outward, up) in metres; outward points away from the roof. The line
runs so that outward lies to its right.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, dist, pi, sin
from random import Random

from PIL import Image

from qa.photos.drawn import noise
from qa.photos.drawn.camera import Point, Vector, add, cross, dot, scaled, subtract, unit
from qa.photos.drawn.glass import mat_cut, wetted
from qa.photos.drawn.light import Light, tinted
from qa.photos.drawn.plate import Colour, Plate, Solids

Section = tuple[Point, ...]
Face = tuple[Vector, Vector, Vector, Vector]
THINNEST_M = 0.006
"""A face narrower than this has no skin to be seen."""

GEL_GREY: Colour = (168, 171, 172)
BARE_GREY: Colour = (138, 143, 145)
LEAD_GREY: Colour = (96, 102, 110)


def bend(
    centre: Point, radius_m: float, from_turn: float, to_turn: float, steps: int = 6
) -> Section:
    """Return an arc of a cross-section; turns count anticlockwise from outward, 1 is a full one."""
    return tuple(
        (
            centre[0] + radius_m * cos(2 * pi * (from_turn + (to_turn - from_turn) * i / steps)),
            centre[1] + radius_m * sin(2 * pi * (from_turn + (to_turn - from_turn) * i / steps)),
        )
        for i in range(steps + 1)
    )


DRIP_EDGE: Section = (
    (-0.100, 0.002), (-0.008, 0.003),
    *bend((-0.004, -0.009), 0.012, 0.25, 0.0), (0.008, -0.052),
    *bend((0.014, -0.052), 0.006, 0.5, 0.75, 3), (0.024, -0.062),
)  # fmt: skip
RAISED_EDGE: Section = (
    (-0.130, 0.002), (-0.070, 0.003), (-0.062, 0.006), (-0.022, 0.046),
    *bend((-0.008, 0.044), 0.015, 0.40, 0.0), (0.007, -0.045), (0.016, -0.056),
)  # fmt: skip
WALL_FILLET: Section = (
    (-0.120, 0.002), (-0.062, 0.003), *bend((-0.060, 0.028), 0.026, 0.75, 0.85, 3),
    (-0.010, 0.064), *bend((-0.024, 0.082), 0.018, 0.90, 1.0, 3), (-0.005, 0.118),
)  # fmt: skip
FLASHING: Section = (
    (-0.040, 0.046), (-0.036, 0.050), *bend((-0.030, 0.076), 0.019, 0.9, 1.0, 3),
    (-0.011, 0.082), (-0.009, 0.163), (0.000, 0.168),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """A length of trim on the site.

    Attributes:
        section: its cross-section.
        line: the roof's edge that it follows, m; outward lies to its right.
        colour: its own colour.
        level_m: the height of the deck.
        shine: how glossy it is, 0 to 1.
        fibrous: a strip of wetted glass rather than gel coat.
    """

    section: Section
    line: tuple[Point, ...]
    colour: Colour = GEL_GREY
    level_m: float = 0.0
    shine: float = 0.7
    fibrous: bool = False

    def _faces(self, stands: Vector) -> list[Face]:
        """Return its faces, the farthest from the camera first, without those seen from behind."""
        rows = [_offset(self.line, outward) for outward, _ in self.section]
        heights = [self.level_m + up for _, up in self.section]
        faces: list[Face] = [
            (
                (*rows[index][leg], heights[index]),
                (*rows[index][leg + 1], heights[index]),
                (*rows[index + 1][leg + 1], heights[index + 1]),
                (*rows[index + 1][leg], heights[index + 1]),
            )
            for index in range(len(self.section) - 1)
            if dist(self.section[index], self.section[index + 1]) > 1e-6
            for leg in range(len(self.line) - 1)
        ]
        faces = [f for f in faces if dot(_normal(f), subtract(stands, f[0])) > 0]
        return sorted(faces, key=lambda f: -dist(stands, scaled(add(f[0], f[2]), 0.5)))

    def _colour(self, face: Face, stands: Vector, light: Light) -> Colour:
        """Return a face's colour: its own, and what it mirrors of the light."""
        to_camera = unit(subtract(stands, scaled(add(face[0], face[2]), 0.5)))
        normal = _normal(face)
        red, green, blue = tinted(self.colour, light.on(normal) / 0.85)
        glow = round(self.shine * _shine(light, normal, to_camera) * 120)
        return (min(255, red + glow), min(255, green + glow), min(255, blue + glow))

    def outline(self, layer: Solids, light: Light) -> None:
        """Draw it as it looks from some metres away."""
        stands = layer.camera.stands
        for face in self._faces(stands):
            layer.face(face, self._colour(face, stands, light))

    def stand(self, plate: Plate, light: Light, rng: Random) -> None:
        """Draw it as it looks from close by, with the skin of its gel coat or of its strands."""
        stands = plate.camera.stands
        with plate.solids() as layer:
            self.outline(layer, light)
        skin = noise.squeezed(noise.clouds(rng, (512, 64), 0.5, noise.ROUGH), 108, 146)
        for face in self._faces(stands):
            if dist(face[0], face[3]) < THINNEST_M:
                continue
            picture = self._skin(face, self._colour(face, stands, light), skin, rng)
            run, rise = subtract(face[1], face[0]), subtract(face[3], face[0])
            ahead = scaled(unit(run), 0.25)
            straight = subtract(rise, scaled(unit(run), dot(rise, unit(run))))
            plate.lay(
                picture, subtract(face[0], ahead), add(run, scaled(ahead, 2)), straight, within=face
            )  # fmt: skip

    def _skin(self, face: Face, colour: Colour, skin: Image.Image, rng: Random) -> Image.Image:
        long = dist(face[0], face[1])
        if not self.fibrous:
            wide = max(4, min(512, round(long * 400)))
            picture = Image.new("RGB", (wide, 24), colour)
            return noise.weathered(picture, skin.crop((0, 0, wide, 24)), 0.4)
        size = (max(8, round((long + 0.5) * 1000)), max(8, round(dist(face[0], face[3]) * 1000)))
        return wetted(
            Image.new("RGB", size, tinted(colour, 1.45)), mat_cut(rng, size, 1000), 0.16, 0.3
        )


def _normal(face: Face) -> Vector:
    """Return the unit normal of a face's upper side."""
    return unit(cross(subtract(face[3], face[0]), subtract(face[1], face[0])))


def _shine(light: Light, normal: Vector, to_camera: Vector) -> float:
    """Return the mirror of the sun and of the bright sky overhead."""
    sun = max(0.0, dot(normal, unit(add(light.sun, to_camera)))) ** 60
    mirrored = subtract(scaled(normal, 2 * dot(normal, to_camera)), to_camera)
    sky = max(0.0, mirrored[2]) ** 2
    graze = (1 - max(0.0, dot(normal, to_camera))) ** 3
    return light.direct * sun + sky * (0.30 + 0.5 * graze)


def _offset(line: Sequence[Point], outward: float) -> list[Point]:
    """Return the line moved to its right, mitred where it turns."""
    rights = []
    for a, b in itertools.pairwise(line):
        length = dist(a, b) or 1.0
        rights.append(((b[1] - a[1]) / length, (a[0] - b[0]) / length))
    moved = []
    for index, (x, y) in enumerate(line):
        first, second = rights[max(0, index - 1)], rights[min(len(rights) - 1, index)]
        share = outward / max(0.2, 1 + first[0] * second[0] + first[1] * second[1])
        moved.append((x + (first[0] + second[0]) * share, y + (first[1] + second[1]) * share))
    return moved
