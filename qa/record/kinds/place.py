"""What the roof is: its areas, their outlines and edges."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from qa.errors import OutlineError
from qa.record import fields
from qa.record.fields import shown
from qa.record.kinds.quantities import Key, Layers, LengthM, MatGPerM2, SlopeDeg, Text
from qa.record.schema import Body, object_reader
from qa.trade.outline import Outline, RoofArea
from qa.trade.vocabulary import EdgeKind

PointM = tuple[float, float]


class RoofBuildUp(StrEnum):
    """Where the insulation lies."""

    COLD = "cold"
    WARM = "warm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Upstand:
    """A strip of laminate that turns up a wall or kerb."""

    length_m: LengthM
    height_m: LengthM


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One edge of an area and what finishes it."""

    edge: Key
    kind: Annotated[EdgeKind, fields.choice(EdgeKind)]
    length_m: LengthM


_POINT = fields.place(2, "[x, y]")
_CORNERS = fields.some(_POINT, least=3, what="corner")


@dataclass(frozen=True, slots=True, kw_only=True)
class Area(Body):
    """The body of kind `area`.

    Attributes:
        outline_m: corners in order, either way round, in metres on plan.
        openings_m: outlines of what is not laid: rooflights, chimneys.
        slope_deg: slope of the deck; areas are reckoned on the slope.
        levels_m: surveyed points x, y, z.
    """

    area: Key
    name: Text
    outline_m: Annotated[tuple[PointM, ...], _CORNERS]
    edges: Annotated[tuple[Edge, ...], fields.some(object_reader(Edge), least=0, what="edge")]
    mat_g_per_m2: MatGPerM2
    openings_m: (
        Annotated[tuple[tuple[PointM, ...], ...], fields.some(_CORNERS, least=0, what="opening")]
        | None
    ) = None
    slope_deg: SlopeDeg | None = None
    upstands: (
        Annotated[tuple[Upstand, ...], fields.some(object_reader(Upstand), least=0, what="upstand")]
        | None
    ) = None
    layers: Layers | None = None
    levels_m: (
        Annotated[
            tuple[tuple[float, float, float], ...],
            fields.some(fields.place(3, "[x, y, z]"), least=0, what="level"),
        ]
        | None
    ) = None
    outlets_m: Annotated[tuple[PointM, ...], fields.some(_POINT, least=0, what="outlet")] | None = (
        None
    )
    roof_build_up: Annotated[RoofBuildUp, fields.choice(RoofBuildUp)] | None = None

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses two edges under one key, and an outline that bounds no area."""
        seen: set[str] = set()
        for index, edge in enumerate(self.edges):
            if edge.edge in seen:
                yield f".edges[{index}].edge", f"is {shown(edge.edge)} a second time; rename one"
            seen.add(edge.edge)
        outline_is_sound = False
        try:
            _ = Outline(points_m=self.outline_m)
            outline_is_sound = True
            _ = self.roof
        except OutlineError as error:
            path = ".openings_m" if outline_is_sound else ".outline_m"
            yield path, f"cannot be used: {str(error).rstrip('.')}"

    @property
    def roof(self) -> RoofArea:
        """The area's geometry, checked by the trade's own rules.

        Raises:
            OutlineError: an outline that bounds no area, saying where it goes wrong.
        """
        return RoofArea(
            outline=Outline(points_m=self.outline_m),
            openings=tuple(Outline(points_m=ring) for ring in self.openings_m or ()),
            slope_deg=self.slope_deg or 0.0,
        )
