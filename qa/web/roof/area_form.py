"""The form of a roof area: its outline by lengths, what finishes its sides, what is laid."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from enum import StrEnum
from math import atan, degrees
from typing import Any, ClassVar

from qa.record.fields import Json
from qa.record.kinds.place import RoofBuildUp
from qa.texts.saying import to_say
from qa.trade.segments import Point
from qa.trade.shapes import Corner, ell_m, rectangle_m, walk_m
from qa.trade.vocabulary import EdgeKind
from qa.web.form_fields import TypedField
from qa.web.forms import ChoiceField, CountField, NumberField, Option, SiteForm, WordsField
from qa.web.roof.rows_field import RowsField
from qa.web.roof.walk_field import SidesField, WalkField


class Shape(StrEnum):
    """How an outline is given."""

    RECTANGLE = "rectangle"
    ELL = "ell"
    WALK = "walk"
    CORNERS = "corners"


_SHAPES = (
    Option(value=Shape.RECTANGLE, label=to_say("A rectangle"), hint=to_say("length and width")),
    Option(value=Shape.ELL, label=to_say("An L"), hint=to_say("four lengths")),
    Option(
        value=Shape.WALK,
        label=to_say("Side by side"),
        hint=to_say("each length, and left or right"),
    ),
    Option(
        value=Shape.CORNERS,
        label=to_say("Corner by corner"),
        hint=to_say("how far along and across each is"),
    ),
)
_OUT = (
    Option(value=Corner.FAR_RIGHT, label=to_say("Far right")),
    Option(value=Corner.FAR_LEFT, label=to_say("Far left")),
    Option(value=Corner.NEAR_RIGHT, label=to_say("Near right")),
    Option(value=Corner.NEAR_LEFT, label=to_say("Near left")),
)
_PLACE = (to_say("from the left"), to_say("from the near side"))
EDGES = (
    Option(value=EdgeKind.DRIP_EDGE, label=to_say("Drip edge")),
    Option(value=EdgeKind.RAISED_EDGE, label=to_say("Raised edge")),
    Option(value=EdgeKind.WALL_FILLET, label=to_say("Wall fillet")),
    Option(value=EdgeKind.FLASHING, label=to_say("Flashing")),
)
_BUILD_UPS = (
    Option(
        value=RoofBuildUp.COLD, label=to_say("Cold roof"), hint=to_say("insulation below the deck")
    ),
    Option(
        value=RoofBuildUp.WARM, label=to_say("Warm roof"), hint=to_say("insulation on the deck")
    ),
)


class AreaForm(SiteForm):
    """A roof area."""

    PATHS: ClassVar = {
        "shape": "outline_m",
        "mat": "mat_g_per_m2",
        "fall_one_in": "slope_deg",
        "build_up": "roof_build_up",
        "every_side": "edges",
    }

    name = WordsField(to_say("Name of this area"), required=True)
    shape = ChoiceField(to_say("Its outline"), options=_SHAPES, required=True)
    length_m = NumberField(to_say("Length of the first side"), unit="m")
    width_m = NumberField(to_say("Width"), unit="m")
    out_length_m = NumberField(to_say("Length of the missing corner"), unit="m")
    out_width_m = NumberField(to_say("Width of the missing corner"), unit="m")
    out = ChoiceField(to_say("Which corner is missing"), options=_OUT)
    walk = WalkField(
        to_say("The sides, a line each"),
        hint=to_say(
            "Such as “6.2 left”. Walk round with the roof on your left; the last side closes "
            "by itself."
        ),
    )
    corners = RowsField(
        to_say("The corners, a line each"),
        columns=_PLACE,
        hint=to_say("One after the other; metres from the left, then from the near side: 6.2, 4.1"),
    )
    every_side = ChoiceField(to_say("Every side is finished with"), options=EDGES)
    sides = SidesField(to_say("Sides that differ"))
    mat = CountField(to_say("Mat"), unit="g/m²", least=150, step=150, required=True)
    layers = CountField(to_say("Layers of mat"), least=1, most=10, required=True)
    fall_one_in = NumberField(
        to_say("Fall, one in"), hint=to_say("80 for 1:80."), optional_word=to_say("if known")
    )
    build_up = ChoiceField(to_say("Build-up"), options=_BUILD_UPS)
    upstands = RowsField(
        to_say("Upstands, a line each"),
        columns=("length", "height"),
        hint=to_say("Metres long, then high: 6, 0.15"),
    )
    openings = RowsField(
        to_say("Openings, a line each"),
        columns=(*_PLACE, "length", "width"),
        hint=to_say(
            "Rooflights and chimneys, in metres from the left, from the near side, then length "
            "and width: 1.2, 0.8, 0.6, 0.9"
        ),
    )
    outlets = RowsField(
        to_say("Outlets, a line each"),
        columns=_PLACE,
        hint=to_say("Metres from the left, then from the near side: 6, 0"),
    )
    levels = RowsField(
        to_say("Levels, a line each"),
        columns=(*_PLACE, "height"),
        hint=to_say("Metres from the left, from the near side, then height: 0, 0, 0.085"),
    )

    def validate(self, extra_validators: Any = None) -> bool:
        """Whether the form can be read, and says all that its shape needs."""
        readable = super().validate(extra_validators)
        return not self._refuse_lengths() and readable

    def outline_m(self) -> tuple[Point, ...] | None:
        """The corners, or None where the lengths are not all there."""
        length_m, width_m = _above(self.length_m.data), _above(self.width_m.data)
        out_length_m, out_width_m = _above(self.out_length_m.data), _above(self.out_width_m.data)
        match self.shape.data:
            case Shape.RECTANGLE if length_m and width_m:
                return rectangle_m(length_m=length_m, width_m=width_m)
            case Shape.ELL if length_m and width_m and out_length_m and out_width_m:
                return ell_m(
                    length_m=length_m,
                    width_m=width_m,
                    out_length_m=out_length_m,
                    out_width_m=out_width_m,
                    out=Corner(self.out.data or Corner.FAR_RIGHT),
                )
            case Shape.WALK if self.walk.data:
                return walk_m(self.walk.data)
            case Shape.CORNERS if self.corners.data:
                return tuple((x, y) for x, y in self.corners.data)
        return None

    def kinds(self, sides: int) -> tuple[EdgeKind | None, ...]:
        """What finishes each of so many sides; None where nobody has said."""
        said = (self.sides.data or ())[:sides]
        every = EdgeKind(self.every_side.data) if self.every_side.data else None
        return tuple(kind or every for kind in (*said, *[None] * (sides - len(said))))

    def _refuse_lengths(self) -> bool:
        """Notes what the chosen shape lacks; answers whether anything is."""
        asked: dict[str, tuple[TypedField, ...]] = {
            Shape.RECTANGLE: (self.length_m, self.width_m),
            Shape.ELL: (self.length_m, self.width_m, self.out_length_m, self.out_width_m),
            Shape.WALK: (self.walk,),
            Shape.CORNERS: (self.corners,),
        }
        of_shape = asked.get(self.shape.data or "", ())
        lacking = [field for field in of_shape if not field.errors and not _is_given(field.data)]
        for field in lacking:
            lack = _NO_LENGTH if _is_figure(field.data) else field.missing()
            field.errors = (*field.errors, lack)
        return bool(lacking)


_NO_LENGTH = to_say("A side is longer than nothing; type its length in metres.")


def _above(value: float | None) -> float | None:
    return value if value is not None and value > 0 else None


def _is_given(value: Any) -> bool:
    return value > 0 if _is_figure(value) else bool(value)


def _is_figure(value: Any) -> bool:
    return isinstance(value, int | float)


def area_body(form: AreaForm, points_m: Sequence[Point], taken: Collection[str]) -> dict[str, Json]:
    """The body of kind `area` that a form says.

    Args:
        form: a form that was read.
        points_m: its corners.
        taken: keys of the areas that the job has.
    """
    body: dict[str, Json] = {
        "area": key_of(str(form.name.data), taken),
        "name": form.name.data,
        "outline_m": [list(point) for point in points_m],
        "openings_m": [_opening(*row) for row in form.openings.data or ()] or None,
        "slope_deg": _slope_deg(form.fall_one_in.data),
        "upstands": [
            {"length_m": length_m, "height_m": height_m}
            for length_m, height_m in form.upstands.data or ()
        ]
        or None,
        "edges": _edges(form, points_m),
        "mat_g_per_m2": form.mat.data,
        "layers": form.layers.data,
        "levels_m": [list(row) for row in form.levels.data or ()] or None,
        "outlets_m": [list(row) for row in form.outlets.data or ()] or None,
        "roof_build_up": form.build_up.data,
    }
    return {name: value for name, value in body.items() if value is not None}


def _edges(form: AreaForm, points_m: Sequence[Point]) -> list[Json]:
    lengths = side_lengths_m(points_m)
    return [
        {"edge": f"e{number}", "kind": (kind or EdgeKind.DRIP_EDGE).value, "length_m": length_m}
        for number, (kind, length_m) in enumerate(
            zip(form.kinds(len(lengths)), lengths, strict=True), start=1
        )
    ]


def side_lengths_m(points_m: Sequence[Point]) -> tuple[float, ...]:
    """Length of each side, m, to the millimetre; the last joins the first corner."""
    ends = (*points_m[1:], *points_m[:1])
    return tuple(
        round(((x - ex) ** 2 + (y - ey) ** 2) ** 0.5, 3)
        for (x, y), (ex, ey) in zip(points_m, ends, strict=True)
    )


def _opening(along: float, across: float, length: float, width: float) -> list[list[float]]:
    """The corners of a rectangular opening."""
    right, far = round(along + length, 4), round(across + width, 4)
    return [[along, across], [right, across], [right, far], [along, far]]


def _slope_deg(one_in: float | None) -> float | None:
    """The slope of a fall of one in so much, degrees; what is no fall is left to be refused."""
    if one_in is None:
        return None
    return round(degrees(atan(1.0 / one_in)), 4) if one_in else 90.0


def key_of(name: str, taken: Collection[str]) -> str:
    """A key for what is called so, unlike all that are taken.

    >>> key_of("Porch roof", ["main"]), key_of("Main", ["main"])
    ('porch-roof', 'main-2')
    """
    plain = "-".join(re.findall(r"[a-z0-9]+", name.lower()))[:40] or "area"
    key, number = plain, 2
    while key in taken:
        key, number = f"{plain}-{number}", number + 1
    return key
