"""Hand tools left where they were used: rollers, a sanding block, a cloth."""

from __future__ import annotations

from math import cos, pi, sin

from qa.photos.drawn.camera import Vector, add, cross, scaled, subtract, unit
from qa.photos.drawn.light import Light, mixed, tinted
from qa.photos.drawn.plan import Plan
from qa.photos.drawn.plate import Colour, Solids


def stripes(colour: Colour, shine: float, count: int = 9) -> tuple[Colour, ...]:
    """Return the stripes of a round bar from side to side, lit from the upper left."""
    tones = []
    for i in range(count):
        turn = pi * (i + 0.5) / count
        gain = 0.45 + 0.7 * max(0.0, cos(turn - 0.95))
        spark = shine * max(0.0, cos(turn - 0.85)) ** 18
        tones.append(mixed(tinted(colour, gain), (255, 255, 255), min(1.0, spark)))
    return tuple(tones)


def _barrel(
    layer: Solids, start: Vector, end: Vector, radius_m: float, colour: Colour, ridged: bool
) -> None:
    """Draw a roller's barrel; a ridged one shows its washers."""
    count = 46 if ridged else 1
    step = scaled(subtract(end, start), 1 / count)
    for i in range(count):
        a, b = add(start, scaled(step, i)), add(start, scaled(step, i + 1))
        wide = radius_m * (1.0 if i % 2 == 0 else 0.80)
        tone = colour if i % 2 == 0 else tinted(colour, 0.55)
        layer.tube(a, b, wide if ridged else radius_m, stripes(tone, 0.8 if ridged else 0.1, 11))


def roller(
    layer: Solids,
    axle: tuple[Vector, Vector],
    radius_m: float,
    handle_to: Vector,
    ridged: bool,
    sleeve: Colour,
    grip: Colour,
) -> None:
    """Draw a roller at rest.

    Args:
        layer: where it is drawn.
        axle: the two ends of its barrel.
        radius_m: radius of the barrel.
        handle_to: where the handle ends.
        ridged: a ridged metal roller, or else a soft sleeve.
        sleeve: colour of the barrel.
        grip: colour of the grip.
    """  # fmt: skip
    start, end = axle
    run = unit(subtract(end, start))
    back = unit(subtract(handle_to, scaled(add(start, end), 0.5)))
    outside = add(end, scaled(run, 0.022))
    shoulder = add(outside, scaled(back, radius_m * 2.2))
    middle = add(scaled(add(start, end), 0.5), scaled(back, radius_m * 3.6))
    neck = add(middle, scaled(back, 0.055))
    wire = stripes((176, 178, 180), 0.8, 5)
    for a, b in ((end, outside), (outside, shoulder), (shoulder, middle), (middle, neck)):
        layer.tube(a, b, 0.0042, wire)
        layer.bead([b], 0.0042, ((120, 122, 124), (200, 202, 204)))
    layer.tube(add(neck, scaled(back, -0.01)), handle_to, 0.0135, stripes(grip, 0.35, 9))
    layer.bead([handle_to], 0.0135, (tinted(grip, 0.5), tinted(grip, 0.8), grip))
    _barrel(layer, start, end, radius_m, sleeve, ridged)
    layer.bead([start], radius_m, (tinted(sleeve, 0.5), tinted(sleeve, 0.62), (40, 40, 42)))


def shadow_of_roller(
    plan: Plan, light: Light, axle: tuple[Vector, Vector], handle_to: Vector
) -> None:
    """Darken the surface under a roller."""
    (ax, ay, _), (bx, by, _) = axle
    drop = (-light.sun[0] * 0.02 * (0.5 + light.direct), -light.sun[1] * 0.02 - 0.012)
    barrel = [(ax, ay + 0.02), (bx, by + 0.02), (bx, by - 0.03), (ax, ay - 0.03)]
    plan.shadow([[(x + drop[0], y + drop[1]) for x, y in barrel]], 0.008, 0.5)
    mx, my = (ax + bx) / 2, (ay + by) / 2
    reach = handle_to[2]
    hx, hy = handle_to[0] - light.sun[0] * reach, handle_to[1] - light.sun[1] * reach
    plan.shadow(
        [[(mx - 0.012, my), (mx + 0.012, my), (hx + 0.014, hy), (hx - 0.014, hy)]], 0.008, 0.32
    )


def box(
    layer: Solids,
    light: Light,
    centre: Vector,
    size_m: Vector,
    turn: float,
    colours: tuple[Colour, Colour],
) -> None:
    """Draw a block standing on a surface: its sides in the first colour, its top in the second."""
    ahead, aside = (cos(turn), sin(turn)), (-sin(turn), cos(turn))

    def at(along: float, across: float, up: float) -> Vector:
        return (
            centre[0] + ahead[0] * along * size_m[0] / 2 + aside[0] * across * size_m[1] / 2,
            centre[1] + ahead[1] * along * size_m[0] / 2 + aside[1] * across * size_m[1] / 2,
            centre[2] + up * size_m[2],
        )

    corners = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        face = [at(*a, 0), at(*b, 0), at(*b, 1), at(*a, 1)]
        normal = unit(cross(subtract(face[1], face[0]), subtract(face[3], face[0])))
        eye = layer.camera.stands
        if sum(n * (e - p) for n, e, p in zip(normal, eye, face[0], strict=True)) > 0:
            layer.face(face, light.shade(colours[0], normal))
    layer.face([at(*c, 1) for c in corners], light.shade(colours[1], (0.0, 0.0, 1.0)))
