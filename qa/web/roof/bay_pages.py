"""What the two pages of bays show: the map of an area, and one bay with everything seen of it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from flask import url_for
from markupsafe import Markup

from qa.assess.finding import Finding
from qa.assess.frame import LaidArea, when
from qa.packs.drawing.bay_map import BayMap, MapBay, Pattern, draw_bay_map, draw_swatch
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Examination
from qa.services.examining import BayState, SeenBay
from qa.services.reading import ReadJob
from qa.texts.saying import say
from qa.trade.notation import quantity_text
from qa.trade.vocabulary import Stage, WetOut
from qa.web.dates import time_text
from qa.web.roof.bay_form import LOOKS, BayForm
from qa.web.roof.job_top import JobTop, job_top, site_day
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.wording import Judged, begun, judged, limit_text, person_text

_PATTERNS = {
    BayState.NOT_EXAMINED: Pattern.DOTS,
    BayState.TRANSPARENT: Pattern.BLANK,
    BayState.FLAWS: Pattern.UPRIGHT,
    BayState.WHITE_PATCHES: Pattern.LINES,
    BayState.DRY: Pattern.CROSSED,
    BayState.REPAIRED: Pattern.LEVEL,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StateCount:
    """How many bays stand in one way."""

    swatch: Markup
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BayLine:
    """One bay in the list; `address` is empty for who only reads."""

    key: str
    told: str
    address: str
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BayRow:
    """One row of bays; `left` tells how many nobody has looked at."""

    title: str
    left: str
    is_open: bool
    bays: tuple[BayLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BaysPage:
    """The map and the list of an area's bays.

    Attributes:
        counts: the key of the map, with how many bays stand in each way.
        next_bay: the first bay that nobody has looked at, or None.
        areas: ways to the other areas.
    """

    top: JobTop
    area: str
    drawing: Markup
    counts: tuple[StateCount, ...]
    rows: tuple[BayRow, ...]
    next_bay: BayLine | None
    areas: tuple[tuple[str, str], ...]


def bays_page(
    read: ReadJob, laid: LaidArea, bays: Sequence[SeenBay], *, may_record: bool
) -> BaysPage:
    """The page of an area's bays."""
    key = laid.body.area
    lines = [_line(read, key, seen, may_record=may_record) for seen in bays]
    shown = tuple(
        MapBay(
            bay=seen.bay,
            letter=seen.state.letter,
            words=seen.state.words,
            pattern=_PATTERNS[seen.state],
            address=line.address,
        )
        for seen, line in zip(bays, lines, strict=True)
    )
    plan = BayMap(name=laid.body.name, roof=laid.roof, bays=shown)
    unseen = [
        line
        for seen, line in zip(bays, lines, strict=True)
        if seen.state is BayState.NOT_EXAMINED and line.address
    ]
    return BaysPage(
        top=job_top(read),
        area=laid.body.name,
        drawing=draw_bay_map(plan),
        counts=_counts(bays),
        rows=tuple(_rows(bays, lines)),
        next_bay=unseen[0] if unseen else None,
        areas=tuple(
            (url_for("roof.bays", job=read.id, area=one.body.area), one.body.name)
            for one in read.job.areas
            if one.body.area != key
        ),
    )


def _line(read: ReadJob, area: str, seen: SeenBay, *, may_record: bool) -> BayLine:
    key = seen.bay.key
    address = url_for("roof.bay", job=read.id, area=area, bay=key) if may_record else ""
    told = f"{seen.state.words}, {quantity_text(round(seen.bay.area_m2, 2), 'm2')}"
    return BayLine(key=key, told=told, address=address, is_open=bool(seen.open_looks))


def _counts(bays: Sequence[SeenBay]) -> tuple[StateCount, ...]:
    counts = Counter(seen.state for seen in bays)
    return tuple(
        StateCount(
            swatch=draw_swatch(_PATTERNS[state], state.letter),
            told=f"{counts[state]} {state.words}",
        )
        for state in BayState
        if counts[state]
    )


def _rows(bays: Sequence[SeenBay], lines: Sequence[BayLine]) -> list[BayRow]:
    rows = []
    both = zip(bays, lines, strict=True)
    for row, group in groupby(both, key=lambda pair: pair[0].bay.row):
        members = list(group)
        left = sum(seen.state is BayState.NOT_EXAMINED for seen, _ in members)
        rows.append(
            BayRow(
                title=say("Row %(row)s", row=row),
                left=_left(left, len(members)),
                is_open=any(line.is_open for _, line in members),
                bays=tuple(line for _, line in members),
            )
        )
    return rows


def _left(left: int, number: int) -> str:
    return (
        say("%(left)s of %(number)s left", left=left, number=number)
        if left
        else say("%(number)s looked at", number=number)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LookView:
    """One examination as it was, with its photographs.

    Attributes:
        title: "After repair, 10:42, Ines".
        told: what was seen.
        judged: what was judged of it.
        photos: that show it.
        address: of the entry.
    """

    title: str
    told: str
    judged: tuple[Judged, ...]
    photos: tuple[PhotoView, ...]
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BayPage:
    """One bay.

    Attributes:
        limits: limit, basis and source of wet-out, pinholes and trapped air.
        asked: what was chosen and is now asked about: its value and its words; or None.
        photo_fields: what a photograph of the bay says, as JSON for the phone's queue.
        looks: everything that was seen of it, the newest first.
    """

    top: JobTop
    form: BayForm
    key: str
    area: str
    state: str
    limits: dict[str, str]
    asked: tuple[str, str] | None
    photo_fields: str
    looks: tuple[LookView, ...]
    bays: str


_LIMITED = {
    "wet_out": "laminate.wet_out",
    "pinholes": "laminate.pinholes",
    "trapped_air": "laminate.trapped_air",
    "passes": "laminate.passes",
    "thickness_mm": "laminate.thickness",
}


def bay_page(
    read: ReadJob, laid: LaidArea, seen: SeenBay, form: BayForm, *, asked: WetOut | None
) -> BayPage:
    """The page of one bay."""
    words = {option.value: option.label for option in LOOKS}
    checks = {name: read.specification.checks[key] for name, key in _LIMITED.items()}
    named = {"stage": Stage.LAMINATE.value, "area": laid.body.area, "bay": seen.bay.key}
    return BayPage(
        top=job_top(read),
        form=form,
        key=seen.bay.key,
        area=laid.body.name,
        state=begun(seen.state.words),
        limits={name: limit_text(c.limits, c.unit, c) for name, c in checks.items()},
        asked=None if asked is None else (asked.value, words[asked]),
        photo_fields=json.dumps(named, ensure_ascii=False),
        looks=_looks(read, laid, seen),
        bays=url_for("roof.bays", job=read.id, area=laid.body.area),
    )


def _looks(read: ReadJob, laid: LaidArea, seen: SeenBay) -> tuple[LookView, ...]:
    """Every look, the newest first, each with the photographs that were taken from it on."""
    shown: list[list[Recorded[Photo]]] = [[] for _ in seen.looks]
    for photo in read.job.photos:
        if (photo.body.area, photo.body.bay) == (laid.body.area, seen.bay.key):
            before = sum(when(look) <= when(photo) for look in seen.looks)
            shown[max(before - 1, 0)].append(photo)
    views = [
        _look(read, look, seen.findings, photo_views(read, photos))
        for look, photos in zip(seen.looks, shown, strict=True)
    ]
    return tuple(reversed(views))


def _look(
    read: ReadJob,
    look: Recorded[Examination],
    findings: Sequence[Finding],
    photos: tuple[PhotoView, ...],
) -> LookView:
    seen_at = time_text(look.at, read.job.time_zone, site_day(read))
    first = say("After repair") if look.body.after_repair else say("Looked at")
    return LookView(
        title=f"{first} {seen_at}, {person_text(read.job, look.by)}",
        told=_told(look.body),
        judged=tuple(judged(found) for found in findings if look.id in found.entries),
        photos=photos,
        address=url_for("roof.entry", job=read.id, entry=look.id),
    )


def _told(body: Examination) -> str:
    words = {option.value: option.label for option in LOOKS}
    told = [words[body.wet_out.value]]
    if body.opaque_cm2:
        told.append(quantity_text(body.opaque_cm2, "cm2"))
    told.append(say("pinholes %(pinholes)s", pinholes=body.pinholes))
    if body.trapped_air is not None:
        told.append(say("trapped air %(trapped_air)s", trapped_air=body.trapped_air))
    if body.passes is not None:
        told.append(say("passes %(passes)s", passes=body.passes))
    if body.thickness_mm:
        told.append(" ".join(quantity_text(mm, None) for mm in body.thickness_mm) + " mm")
    return ", ".join(told)
