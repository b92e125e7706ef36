"""Pictures and record tell the same: values, labels, times."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TypeVar

import pytest

from qa.photos.drawn import (
    AirMeter,
    BatchLabel,
    DeckThermometer,
    DrawnPhoto,
    FixingPattern,
    MoistureMeter,
    Pinholes,
    Scale,
    TrimOverlap,
    WallGap,
)
from qa.record.job import Recorded
from qa.record.kinds.papers import Photo
from qa.record.kinds.readings import Conditions
from tests.unit.demo import told_job

S = TypeVar("S")
PICTURES = dict(told_job.script().pictures)
PHOTOS = told_job.job().photos


def shown(kind: type[S]) -> Iterator[tuple[Recorded[Photo], S]]:
    """Every photo of a subject, with the subject as it is drawn."""
    for photo in PHOTOS:
        subject = PICTURES[photo.body.file].subject
        if isinstance(subject, kind):
            yield photo, subject


def measured(photo: Recorded[Photo]) -> set[float]:
    """What was measured of the photo's check at its area."""
    return {
        m.body.value
        for m in told_job.job().measurements
        if (m.body.check, m.body.area) == (photo.body.check, photo.body.area)
    }


def read_just_before(photo: Recorded[Photo]) -> Conditions:
    readings = [r for r in told_job.job().conditions if r.at <= photo.at]
    last = max(readings, key=lambda reading: reading.at)
    assert photo.at - last.at < timedelta(minutes=5)
    return last.body


def test_every_photo_has_its_picture() -> None:
    assert sorted(photo.body.file for photo in PHOTOS) == sorted(PICTURES)


def test_pictures_are_taken_just_before_they_are_sent() -> None:
    for photo in PHOTOS:
        picture: DrawnPhoto = PICTURES[photo.body.file]
        assert timedelta(0) < photo.at - picture.taken_at < timedelta(seconds=10)


def test_no_two_pictures_are_alike() -> None:
    assert len({repr(picture) for picture in PICTURES.values()}) == len(PICTURES)
    assert len({picture.seed for picture in PICTURES.values()}) == len(PICTURES)


@pytest.mark.parametrize(
    ("kind", "field"),
    [
        (MoistureMeter, "moisture_pct"),
        (WallGap, "gap_mm"),
        (FixingPattern, "centres_mm"),
        (TrimOverlap, "overlap_mm"),
    ],
)
def test_instruments_show_what_was_measured(kind: type, field: str) -> None:
    seen = list(shown(kind))
    assert seen
    for photo, subject in seen:
        assert measured(photo) == {getattr(subject, field)}


def test_thermometers_show_what_was_read() -> None:
    for photo, subject in shown(DeckThermometer):
        assert subject.deck_c == read_just_before(photo).deck_c
    for photo, subject in shown(AirMeter):
        reading = read_just_before(photo)
        assert (subject.air_c, subject.humidity_pct) == (reading.air_c, reading.humidity_pct)


def test_scale_shows_the_mass_of_its_mix() -> None:
    masses = {mix.body.mix: mix.body.kg for mix in told_job.job().mixes}
    ((photo, scale),) = shown(Scale)
    assert scale.resin_kg == masses[photo.body.mix]


def test_labels_show_batch_and_use_by_of_their_lot() -> None:
    lots = {lot.body.lot: lot.body for lot in told_job.job().lots}
    labels = list(shown(BatchLabel))
    assert len(labels) == 5
    for photo, label in labels:
        lot = lots[photo.body.lot]
        assert (label.batch_number, label.use_by) == (lot.batch_number, lot.use_by)


def test_pinholes_are_as_many_as_were_counted() -> None:
    (found,) = [e.body for e in told_job.job().examinations if e.body.pinholes]
    assert {subject.count for _, subject in shown(Pinholes)} == {found.pinholes}
