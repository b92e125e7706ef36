"""A stage as a story: what was recorded in order of time, photographs beside what they prove."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, groupby
from typing import Any

from flask import url_for

from qa.assess.finding import Finding
from qa.assess.frame import grouped, when
from qa.assess.stages import stage_of
from qa.record.job import Job, Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Conditions
from qa.record.registry import Kind
from qa.record.schema import Body
from qa.services.reading import ReadJob
from qa.services.telling import Telling
from qa.texts.saying import say, say_count
from qa.trade.conformity import Verdict
from qa.trade.vocabulary import Stage
from qa.web.dates import time_text
from qa.web.desk.kept import KeptByHead
from qa.web.roof.job_top import site_day
from qa.web.roof.photo_views import PhotoView, photo_views
from qa.web.roof.stage_views import telling_of
from qa.web.roof.wording import Judged, judged, person_text

MOST_TOLD = 200
"""Things of one stage that are told; the record tells the others."""
LEAST_FOLDED = 5
"""So many readings in a row that say nothing of their own are one line; a logger sends hundreds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing of the story: an entry, or photographs that prove no value.

    Attributes:
        address: of the entry; nothing for photographs alone.
        line: what it says.
        told: when and by whom.
        changed: that it was put right, or nothing.
        judged: the gravest verdict that rests on it first, or None.
        photos: those that prove it.
    """

    address: str
    line: str
    told: str
    changed: str
    judged: Judged | None
    photos: tuple[PhotoView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """What is told of a stage, and how many entries are not."""

    told: tuple[Told, ...]
    left_out: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Teller:
    """What the stories of a job share.

    Attributes:
        gravest: for each entry the gravest finding that rests on it first.
        proof: for each entry the photographs that prove it.
        photos: of the job, by their place in the record.
    """

    read: ReadJob
    telling: Telling
    gravest: Mapping[str, Finding]
    proof: Mapping[str, Sequence[Recorded[Photo]]]
    photos: Mapping[int, Recorded[Photo]]


def _stories(read: ReadJob) -> Mapping[Stage, Story]:
    teller = _Teller(
        read=read,
        telling=telling_of(read),
        gravest=_gravest(read.assessment.findings),
        proof=_proof(read),
        photos={photo.position: photo for photo in read.job.photos},
    )
    beside = {photo.id for photos in teller.proof.values() for photo in photos}
    entries = sorted(chain(_work(read.job), read.job.photos), key=when)
    by_stage = grouped(
        (one for one in entries if one.id not in beside), lambda one: stage_of(one.body)
    )
    return {stage: _story(teller, by_stage.get(stage, ())) for stage in Stage}


stories = KeptByHead(_stories)
"""The story of every stage."""


def led_to_viewer(job: str, photos: Iterable[PhotoView]) -> tuple[PhotoView, ...]:
    """Photographs that lead to the page on which they are looked at closely."""
    return tuple(
        replace(one, large=url_for("desk.photo", job=job, sha256=one.sha256)) for one in photos
    )


def _work(job: Job) -> Iterator[Recorded[Body]]:
    """All that a stage tells, but photographs."""
    yield from job.conditions
    yield from job.measurements
    yield from job.observations
    yield from job.mixes
    yield from job.usages
    yield from job.examinations
    yield from job.interruptions
    yield from job.sign_offs
    yield from job.nonconformities
    yield from job.notes


def _story(teller: _Teller, entries: Sequence[Recorded[Body]]) -> Story:
    told: list[Told] = []
    loose: list[Recorded[Body]] = []
    runs = _runs(teller, entries)
    for run in runs[:MOST_TOLD]:
        if isinstance(run[0].body, Photo):
            loose += run
            continue
        told += _photos_alone(teller, loose)
        loose = []
        told.append(_told(teller, run[0]) if len(run) == 1 else _readings(teller, run))
    told += _photos_alone(teller, loose)
    return Story(told=tuple(told), left_out=sum(map(len, runs[MOST_TOLD:])))


def _runs(teller: _Teller, entries: Sequence[Recorded[Body]]) -> list[list[Recorded[Body]]]:
    """The entries in their order, long rows of readings that say nothing of their own together."""
    runs: list[list[Recorded[Body]]] = []
    for by, row in groupby(entries, lambda one: one.by if _is_plain(teller, one) else None):
        together = list(row)
        folds = by is not None and len(together) >= LEAST_FOLDED
        runs += [together] if folds else [[one] for one in together]
    return runs


def _is_plain(teller: _Teller, one: Recorded[Body]) -> bool:
    """Whether it is a reading of the air that is not outside, was not changed and has no photo."""
    found = teller.gravest.get(one.id)
    is_open = found is not None and found.verdict in _GRAVITY
    told_alone = is_open or one.corrections or one.id in teller.proof
    return isinstance(one.body, Conditions) and not told_alone


def _readings(teller: _Teller, run: Sequence[Recorded[Body]]) -> Told:
    """A row of readings as one line."""
    read, first, last = teller.read, run[0], run[-1]
    zone, today = read.job.time_zone, site_day(read)
    found = next((teller.gravest[one.id] for one in run if one.id in teller.gravest), None)
    where: dict[str, Any] = {
        "stage": stage_of(first.body),
        "kind": Kind.CONDITIONS.value,
        "order": "first",
    }
    span = f"{time_text(first.at, zone, today)} to {time_text(last.at, zone, today)}"
    return Told(
        address=url_for("roof.record", job=read.id, **where),
        line=say_count(
            "Conditions: %(number)s reading, not outside its limits",
            "Conditions: %(number)s readings, none outside its limits",
            len(run),
        ),
        told=f"{span}, {person_text(read.job, first.by)}",
        changed="",
        judged=judged(found) if found else None,
        photos=(),
    )


def _told(teller: _Teller, one: Recorded[Body]) -> Told:
    read, found = teller.read, teller.gravest.get(one.id)
    at = time_text(one.at, read.job.time_zone, site_day(read))
    return Told(
        address=url_for("roof.entry", job=read.id, entry=one.id),
        line=teller.telling.body(one.body),
        told=f"{at}, {person_text(read.job, one.by)}",
        changed=say("put right since") if one.corrections else "",
        judged=judged(found) if found else None,
        photos=_shown(read, teller.proof.get(one.id, ())),
    )


def _photos_alone(teller: _Teller, photos: Iterable[Recorded[Body]]) -> Iterator[Told]:
    """Photographs that follow each other and prove no value, in one row."""
    own = [one.position for one in photos]
    if not own:
        return
    shown = _shown(teller.read, [teller.photos[place] for place in sorted(own)])
    if shown:
        yield Told(
            address="",
            line=say_count("%(number)s photograph", "%(number)s photographs", len(shown)),
            told="",
            changed="",
            judged=None,
            photos=shown,
        )


def _shown(read: ReadJob, photos: Sequence[Recorded[Photo]]) -> tuple[PhotoView, ...]:
    return led_to_viewer(read.id, photo_views(read, photos)) if photos else ()


_GRAVITY = {Verdict.OUTSIDE: 2, Verdict.UNDECIDED: 1}


def _gravest(findings: Iterable[Finding]) -> Mapping[str, Finding]:
    """By entry, of the findings that rest on it first; what is open before what was settled."""
    gravest: dict[str, Finding] = {}
    for found in findings:
        for entry in found.entries[:1]:
            if entry not in gravest or _gravity(found) > _gravity(gravest[entry]):
                gravest[entry] = found
    return gravest


def _gravity(found: Finding) -> tuple[bool, int]:
    return found.is_open, _GRAVITY.get(found.verdict, 0)


def _proof(read: ReadJob) -> Mapping[str, Sequence[Recorded[Photo]]]:
    """By entry, the photographs that the assessment takes as showing what the entry says.

    One that shows several looks at the same thing stands beside the last before it was taken.
    """
    by_id = {one.id: one for one in _work(read.job)}
    by_file = grouped(read.job.photos, lambda photo: photo.body.file)
    proven: dict[str, Recorded[Photo]] = {}
    beside: dict[str, str] = {}
    for found in read.assessment.findings:
        looks = [by_id[entry] for entry in found.entries if entry in by_id]
        if not looks:
            continue
        alike = sorted((one for one in looks if type(one.body) is type(looks[0].body)), key=when)
        times = [one.at for one in alike]
        for photo in chain.from_iterable(by_file.get(file, ()) for file in found.photos):
            place = bisect_right(times, photo.at)
            beside.setdefault(photo.id, (alike[place - 1] if place else looks[0]).id)
            proven[photo.id] = photo
    return grouped(proven.values(), lambda photo: beside[photo.id])
