"""Roof areas: drawing a new one, and what it comes to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flask import request, url_for
from flask.typing import ResponseReturnValue

from qa.errors import Problem, RecordError
from qa.record.registry import Kind
from qa.services.access import Act
from qa.services.laying_out import LaidOut, lay_out
from qa.services.reading import ReadJob, read_job
from qa.services.recording import Receipt, record
from qa.texts.saying import say, say_count
from qa.trade.notation import quantity_text
from qa.trade.segments import Point
from qa.trade.shapes import Corner
from qa.trade.vocabulary import EdgeKind
from qa.web import saving
from qa.web.form_fields import Option
from qa.web.frame import actor, house, render_page
from qa.web.roof.area_form import EDGES, AreaForm, Shape, area_body, side_lengths_m
from qa.web.roof.drafting import draft
from qa.web.roof.job_top import JobTop, job_top
from qa.web.roof.plan import Plan, draw_bays, draw_plan
from qa.web.roof.routing import blueprint
from qa.web.roof.wording import edge_text
from qa.web.saving import Moment, saved

DRAW = "draw"
"""The value of the button that draws the plan and saves nothing."""
MAT_G_PER_M2 = 450
"""Proposed where nobody says otherwise; the usual weight, common practice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideRow:
    """A side of the outline, and what finishes it where that differs from the others."""

    key: str
    length: str
    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAreaPage:
    """The form with its drawing.

    Attributes:
        plan: None while nothing can be drawn.
        sides: the sides of the outline; none while nothing can be drawn.
        edges: what a side may be finished with.
    """

    top: JobTop
    form: AreaForm
    plan: Plan | None
    sides: tuple[SideRow, ...]
    edges: tuple[Option, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaFigure:
    """One figure of an area: a label and the figure with its unit."""

    label: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaPage:
    """What an area comes to.

    Attributes:
        plan: with its lengths.
        bay_plan: with its bays.
        bays: address of the page on which they are examined.
        put_right: address of the page that corrects the area.
        another: address of the page that draws one more; nothing for who may not.
    """

    top: JobTop
    name: str
    plan: Plan
    bay_plan: Plan
    figures: tuple[AreaFigure, ...]
    edges: tuple[str, ...]
    bays: str
    put_right: str
    another: str


@blueprint.route("/jobs/<job>/areas/new", methods=["GET", "POST"], endpoint="new_area")
def show_new_area(job: str) -> ResponseReturnValue:
    """Adds an area to a job."""
    read = read_job(house(), actor(), job)
    form = AreaForm(
        name="" if read.job.areas else say("Main roof"),
        shape=Shape.RECTANGLE,
        out=Corner.FAR_RIGHT,
        mat=MAT_G_PER_M2,
        layers=1,
    )
    if form.sent and request.form.get("step") == DRAW:
        form.validate()
        return _page(read, form)

    def save(moment: Moment) -> Sequence[Receipt]:
        body = area_body(form, _whole(form), {area.body.area for area in read.job.areas})
        drafts = (draft(form, moment, Kind.AREA, body),)
        return record(house(), actor(), job, drafts, now=moment.now)

    def then(receipts: Sequence[saving.Receipt]) -> str:
        areas = {one.id: one.body.area for one in read_job(house(), actor(), job).job.areas}
        return url_for("roof.area", job=job, area=areas[receipts[0].entry])

    return saved(form, save, then, lambda: _page(read, form), zone=read.job.time_zone)


@blueprint.get("/jobs/<job>/areas/<area>", endpoint="area")
def show_area(job: str, area: str) -> str:
    """The plan of an area, its bays, and what it will take."""
    read = read_job(house(), actor(), job)
    return render_page("roof/area.html", _area_page(read, lay_out(read, area)))


def _whole(form: AreaForm) -> Sequence[Point]:
    """The corners of a form that is to be saved.

    Raises:
        RecordError: a side of which nobody has said what finishes it.
    """
    points_m = form.outline_m() or ()
    missing = [f"e{number}" for number, kind in enumerate(form.kinds(len(points_m)), 1) if not kind]
    if missing:
        which = say("every side") if len(missing) == len(points_m) else ", ".join(missing)
        sentence = say("Say what finishes %(which)s.", which=which)
        raise RecordError((Problem(place="area", sentence=sentence, field="area.edges"),))
    return points_m


def _page(read: ReadJob, form: AreaForm) -> str:
    points_m = form.outline_m() or ()
    rows = form.openings.data or ()
    page = NewAreaPage(
        top=job_top(read),
        form=form,
        plan=draw_plan(
            points_m,
            name=form.name.data or say("the area"),
            openings_m=[_ring(*row) for row in rows],
            outlets_m=[(x, y) for x, y in form.outlets.data or ()],
        )
        if points_m
        else None,
        sides=_side_rows(form, points_m),
        edges=EDGES,
    )
    return render_page("roof/new_area.html", page)


def _ring(along: float, across: float, length: float, width: float) -> list[Point]:
    right, far = along + length, across + width
    return [(along, across), (right, across), (right, far), (along, far)]


def _side_rows(form: AreaForm, points_m: Sequence[Point]) -> tuple[SideRow, ...]:
    said: Sequence[EdgeKind | None] = form.sides.data or ()
    return tuple(
        SideRow(
            key=f"e{number}",
            length=quantity_text(length_m, "m"),
            kind=(said[number - 1] or "") if number <= len(said) else "",
        )
        for number, length_m in enumerate(side_lengths_m(points_m), start=1)
    )


def _area_page(read: ReadJob, laid: LaidOut) -> AreaPage:
    area = laid.area
    entry = next(one for one in read.job.areas if one.body.area == area.area)
    return AreaPage(
        top=job_top(read),
        name=area.name,
        plan=draw_plan(
            area.outline_m,
            name=area.name,
            openings_m=area.openings_m or (),
            outlets_m=area.outlets_m or (),
        ),
        bay_plan=draw_bays(
            area.outline_m, laid.bays, name=area.name, openings_m=area.openings_m or ()
        ),
        figures=tuple(_figures(laid)),
        edges=tuple(edge_text(edge) for edge in area.edges),
        bays=url_for("roof.bays", job=read.id, area=area.area),
        put_right=url_for("roof.correct", job=read.id, entry=entry.id),
        another=url_for("roof.new_area", job=read.id) if actor().may(Act.START_JOB) else "",
    )


def _figures(laid: LaidOut) -> list[AreaFigure]:
    area = laid.area
    layers = say_count("one layer", "%(number)s layers", area.layers or 1)
    figures = [
        (say("Area"), quantity_text(laid.net_m2, "m2")),
        (say("To be laid, with upstands"), quantity_text(laid.laid_m2, "m2")),
        (say("Perimeter"), quantity_text(laid.perimeter_m, "m")),
        (say("Mat"), f"{quantity_text(area.mat_g_per_m2, 'g/m2')}, {layers}"),
        (say("Mat off the roll"), quantity_text(laid.mat_m, "m", 3)),
        (say("Bays"), str(len(laid.bays))),
        (say("Laminating resin, expected"), quantity_text(laid.resin_kg, "kg", 3)),
        (say("Topcoat, expected"), quantity_text(laid.topcoat_kg, "kg", 3)),
    ]
    return [AreaFigure(label=label, text=text) for label, text in figures]
