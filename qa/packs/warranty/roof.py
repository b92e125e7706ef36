"""The roof that was laid: the plan to scale, its areas and edges, and who worked with what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.frame import LaidArea
from qa.packs.drawing.edge_lines import EDGE_WORDS
from qa.packs.plans import roof_plan
from qa.packs.source import PackSource, disclosed
from qa.packs.warranty.falls import Falls, falls
from qa.packs.warranty.found import NOTHING
from qa.trade.notation import quantity_text

_PLAN_MM = 105.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaRow:
    """One area with its measures, each with its unit."""

    name: str
    key: str
    net: str
    laid: str
    perimeter: str
    slope: str
    build_up: str
    mat: str
    bays: int


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeRow:
    """One edge as the record names it."""

    area: str
    edge: str
    kind: str
    length: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRow:
    """One of the crew; tables name people by key."""

    key: str
    name: str
    role: str
    competence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentRow:
    """One instrument with what is known of its calibration."""

    key: str
    name: str
    measures: str
    serial: str
    calibrated: str
    uncertainty: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Roof:
    """What the chapter shows.

    Attributes:
        falls: what surveyed levels say; None where no area has any.
    """

    plan: Markup
    falls: Falls | None
    areas: tuple[AreaRow, ...]
    edges: tuple[EdgeRow, ...]
    people: tuple[PersonRow, ...]
    instruments: tuple[InstrumentRow, ...]


def roof(source: PackSource) -> Roof:
    """The roof, the people and the instruments."""
    areas = source.frame.areas.values()
    return Roof(
        plan=roof_plan(source, height_mm=_PLAN_MM),
        falls=falls(source),
        areas=tuple(_area_row(area) for area in areas),
        edges=tuple(row for area in areas for row in _edge_rows(area)),
        people=tuple(_people(source)),
        instruments=tuple(_instruments(source)),
    )


def _area_row(area: LaidArea) -> AreaRow:
    body = area.body
    layers = body.layers or 1
    return AreaRow(
        name=body.name,
        key=body.area,
        net=f"{area.roof.net_area_m2:.2f} m²",
        laid=f"{area.laid_m2:.2f} m²",
        perimeter=f"{area.roof.perimeter_m:.2f} m",
        slope=quantity_text(body.slope_deg, "°") if body.slope_deg is not None else NOTHING,
        build_up=body.roof_build_up or NOTHING,
        mat=f"{layers} × {quantity_text(body.mat_g_per_m2, 'g/m2')}",
        bays=len(area.bays),
    )


def _edge_rows(area: LaidArea) -> Iterator[EdgeRow]:
    for edge in area.body.edges:
        yield EdgeRow(
            area=area.body.name,
            edge=edge.edge,
            kind=EDGE_WORDS[edge.kind],
            length=f"{edge.length_m:.2f} m",
        )


def _people(source: PackSource) -> Iterator[PersonRow]:
    for person in source.job.opening.body.crew:
        yield PersonRow(
            key=person.person,
            name=disclosed(person.name),
            role=person.role,
            competence=person.competence or NOTHING,
        )


def _instruments(source: PackSource) -> Iterator[InstrumentRow]:
    for recorded in source.job.instruments:
        body = recorded.body
        calibrated = source.day_text(body.calibrated_on) if body.calibrated_on else NOTHING
        due = f", due {source.day_text(body.calibration_due)}" if body.calibration_due else ""
        known = body.expanded_uncertainty
        yield InstrumentRow(
            key=body.instrument,
            name=body.name,
            measures=body.measures,
            serial=body.serial or NOTHING,
            calibrated=f"{calibrated}{due}",
            uncertainty=NOTHING if known is None else f"± {quantity_text(known, None)}",
        )
