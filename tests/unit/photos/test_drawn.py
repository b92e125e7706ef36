"""Drawn pictures: the same bytes each time, no two alike, marked as drawn, dated as told."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from hashlib import sha256
from io import BytesIO

import pytest
from PIL import ExifTags, Image, ImageChops, ImageStat

from qa.errors import DomainError
from qa.photos import drawn
from qa.photos.drawn import DrawnPhoto, EdgeKind, Finish, Joint, Place, Weather

SUMMER = timezone(timedelta(hours=1))
STRIP_PX = 34

SUBJECTS: tuple[drawn.Subject, ...] = (
    drawn.OldCovering(),
    drawn.OpenJoists(side=1),
    drawn.BoardsBeingLaid(progress=0.55),
    drawn.FixingPattern(),
    drawn.WallGap(),
    drawn.MoistureMeter(moisture_pct=14.5),
    drawn.DeckThermometer(deck_c=12.8),
    drawn.AirMeter(air_c=14.5, humidity_pct=62),
    drawn.Scale(resin_kg=5.24),
    drawn.BatchLabel(product=("Laminating resin",), batch_number="R-1", use_by=date(2026, 11, 30)),
    *(drawn.Edge(kind=kind) for kind in EdgeKind),
    drawn.Edge(kind=EdgeKind.RAISED_EDGE, finish=Finish.COATED),
    drawn.TrimOverlap(),
    *(drawn.Bandage(joint=joint) for joint in Joint),
    drawn.MatRolledOut(),
    drawn.RollerAtWork(),
    drawn.WetLaminate(),
    drawn.TransparentBay(),
    drawn.WhitePatches(),
    drawn.WhitePatches(repaired=True),
    drawn.Pinholes(),
    drawn.Pinholes(repaired=True),
    drawn.RainOnCover(),
    drawn.DryingAfterRain(),
    drawn.Sanding(),
    drawn.WipedSurface(),
    drawn.TopcoatHalfOn(),
    drawn.TopcoatRoller(),
    drawn.FinishedRoof(side=0),
    drawn.FinishedRoof(side=4),
    drawn.Outlet(),
)


def _photo(index: int) -> DrawnPhoto:
    """Return a photo of one subject, as the demonstration job takes them: two of the same seed."""
    return DrawnPhoto(
        subject=SUBJECTS[index],
        seed=index // 2,
        taken_at=datetime(2026, 5, 12, 8 + index % 9, 4, 5, tzinfo=SUMMER),
        weather=tuple(Weather)[index % 4],
        portrait=index % 5 == 2,
    )


@cache
def _drawn(index: int) -> bytes:
    return drawn.draw(_photo(index))


def _opened(index: int) -> Image.Image:
    return Image.open(BytesIO(_drawn(index)))


def _small(taken_at: datetime, place: Place | None = None) -> Image.Exif:
    """Return the EXIF block of one of the quicker pictures."""
    photo = DrawnPhoto(subject=drawn.WallGap(), seed=1, taken_at=taken_at, place=place)
    return Image.open(BytesIO(drawn.draw(photo))).getexif()


EACH = pytest.mark.parametrize(
    "index", range(len(SUBJECTS)), ids=[f"{i}-{type(s).__name__}" for i, s in enumerate(SUBJECTS)]
)


@EACH
def test_picture_has_the_size_of_its_photo(index: int) -> None:
    picture = _opened(index)
    assert picture.format == "JPEG"
    assert picture.size == ((1200, 1600) if _photo(index).portrait else (1600, 1200))


@EACH
def test_picture_says_below_that_it_is_drawn(index: int) -> None:
    picture = _opened(index).convert("L")
    width, height = picture.size
    strip = picture.crop((0, height - STRIP_PX, width, height))
    # White words on a dark strip: a few percent of it is bright, and nearly all the rest is dark.
    shades = strip.histogram()
    area = width * STRIP_PX
    assert 0.01 < sum(shades[180:]) / area < 0.10
    assert sum(shades[:70]) / area > 0.85


@EACH
def test_picture_is_no_flat_drawing(index: int) -> None:
    picture = _opened(index).convert("RGB")
    scene = picture.crop((0, 0, picture.width, picture.height - STRIP_PX))
    neighbours = ImageChops.difference(scene, ImageChops.offset(scene, 1, 0))
    assert ImageStat.Stat(scene.convert("L")).stddev[0] > 8
    assert sum(ImageStat.Stat(neighbours).mean) / 3 > 1


def test_no_two_pictures_are_alike() -> None:
    digests = {sha256(_drawn(index)).hexdigest() for index in range(len(SUBJECTS))}
    assert len(digests) == len(SUBJECTS)


def test_another_seed_gives_another_picture() -> None:
    at = datetime(2026, 5, 12, 9, tzinfo=SUMMER)
    one, two = (DrawnPhoto(subject=drawn.WallGap(), seed=seed, taken_at=at) for seed in (1, 2))
    assert drawn.draw(one) != drawn.draw(two)


_FRESH = """
import sys
from datetime import datetime, timedelta, timezone
from hashlib import sha256
from qa.photos import drawn

subject = {subject}
at = datetime(2026, 5, 12, 9, 30, tzinfo=timezone(timedelta(hours=1)))
photo = drawn.DrawnPhoto(subject=subject, seed=7, taken_at=at, weather=drawn.Weather.SUN)
sys.stdout.write(sha256(drawn.draw(photo)).hexdigest())
"""


@pytest.mark.parametrize(
    ("source", "subject"),
    [
        ("drawn.TransparentBay()", drawn.TransparentBay()),
        ("drawn.FinishedRoof(side=1)", drawn.FinishedRoof(side=1)),
    ],
    ids=["close view", "whole roof"],
)
def test_another_process_draws_the_same_bytes(source: str, subject: drawn.Subject) -> None:
    """What was drawn before leaves sheets of texture behind; they must not change a picture."""
    _drawn(0)
    at = datetime(2026, 5, 12, 9, 30, tzinfo=SUMMER)
    photo = DrawnPhoto(subject=subject, seed=7, taken_at=at, weather=Weather.SUN)
    here = sha256(drawn.draw(photo)).hexdigest()
    fresh = subprocess.run(
        [sys.executable, "-c", _FRESH.format(subject=source)],
        capture_output=True,
        check=True,
        text=True,
    )
    assert fresh.stdout == here


def test_exif_gives_the_moment_and_its_offset() -> None:
    half_hours = timezone(timedelta(hours=-3, minutes=-30))
    detail = _small(datetime(2026, 1, 2, 3, 4, 5, tzinfo=half_hours)).get_ifd(ExifTags.IFD.Exif)
    assert detail[ExifTags.Base.DateTimeOriginal] == "2026:01:02 03:04:05"
    assert detail[ExifTags.Base.OffsetTimeOriginal] == "-03:30"


def test_exif_names_no_real_camera() -> None:
    exif = _small(datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC))
    assert exif[ExifTags.Base.Make] == "drawn"
    assert exif[ExifTags.Base.Model] == "laidtrue demo"
    assert exif[ExifTags.Base.ImageDescription].endswith("not a photograph")


def test_exif_gives_a_place_only_when_told() -> None:
    at = datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC)
    assert not _small(at).get_ifd(ExifTags.IFD.GPSInfo)
    gps = _small(at, Place(latitude_deg=-1.5, longitude_deg=2.25)).get_ifd(ExifTags.IFD.GPSInfo)
    assert gps[ExifTags.GPS.GPSLatitudeRef] == "S"
    assert [float(part) for part in gps[ExifTags.GPS.GPSLatitude]] == [1, 30, 0]
    assert gps[ExifTags.GPS.GPSLongitudeRef] == "E"
    assert [float(part) for part in gps[ExifTags.GPS.GPSLongitude]] == [2, 15, 0]


def test_time_without_an_offset_is_refused() -> None:
    with pytest.raises(DomainError, match="offset"):
        DrawnPhoto(subject=drawn.WallGap(), seed=1, taken_at=datetime(2026, 5, 12))  # noqa: DTZ001


@pytest.mark.parametrize(
    "beyond",
    [
        lambda: drawn.WallGap(gap_mm=4),
        lambda: drawn.WallGap(gap_mm=61),
        lambda: drawn.Pinholes(count=0),
        lambda: drawn.BoardsBeingLaid(progress=1.01),
        lambda: drawn.Scale(resin_kg=float("nan")),
        lambda: drawn.FinishedRoof(side=5),
        lambda: drawn.RoofShape(walls=frozenset({4})),
        lambda: drawn.Place(latitude_deg=90.1, longitude_deg=0),
    ],
    ids=["gap below", "gap above", "no pinholes", "progress", "weight", "side", "wall", "place"],
)
def test_what_cannot_be_shown_is_refused(beyond: Callable[[], object]) -> None:
    with pytest.raises(DomainError):
        beyond()
