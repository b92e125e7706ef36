"""Reads what a camera wrote into a picture's Exif block.

Cameras, phones and editors write broken blocks every day, so nothing here refuses a photograph: a
field that cannot be read is a field that is not there.

Source: CIPA DC-008 (Exif 2.32) for tags and formats; offsets of time came with Exif 2.31.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime, timedelta, timezone
from functools import partial
from operator import getitem
from typing import TypeVar

from PIL import Image

from qa.photos.facts import CameraFacts

_MAKE, _MODEL, _ORIENTATION = 0x010F, 0x0110, 0x0112
_EXIF_DIRECTORY, _GPS_DIRECTORY = 0x8769, 0x8825
# Tag of the time, of its offset, of its decimals: when taken, else when digitised. DateTime
# (0x0132) is when the file was last changed and says nothing about the shutter.
_TIMES = ((0x9003, 0x9011, 0x9291), (0x9004, 0x9012, 0x9292))
_LATITUDE_REF, _LATITUDE, _LONGITUDE_REF, _LONGITUDE = 1, 2, 3, 4
_ALTITUDE_REF, _ALTITUDE, _GPS_TIME, _GPS_DATE, _POSITION_ERROR = 5, 6, 7, 0x1D, 0x1F

_DATE_TIME = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)")
_OFFSET = re.compile(r"([+-])(\d\d):(\d\d)")
_LONGEST_OFFSET = timedelta(hours=14)  # the farthest that any civil time is from UTC
_TEXT_LENGTH = 80  # names of makers and models are short; a longer one is damage or mischief

Directory = Mapping[int, object]
_Value = TypeVar("_Value")


def read_exif(block: bytes) -> CameraFacts:
    """Read a camera's facts out of an Exif block.

    Args:
        block: the block as it stands in the file, with or without its "Exif" header; may be empty
            or broken.

    Returns:
        What could be read; `CameraFacts()` where nothing could.
    """
    main, camera, gps = _directories(block)
    naive, offset = _time_taken(camera)
    return CameraFacts(
        orientation=_orientation(main.get(_ORIENTATION)),
        taken_at=naive.replace(tzinfo=offset) if naive and offset else None,
        taken_at_naive=naive,
        gps_at=_gps_time(gps),
        latitude_deg=_degrees(gps, _LATITUDE, _LATITUDE_REF, "NS", 90),
        longitude_deg=_degrees(gps, _LONGITUDE, _LONGITUDE_REF, "EW", 180),
        altitude_m=_altitude(gps),
        position_error_m=_number(gps.get(_POSITION_ERROR)),
        camera_make=_text(main.get(_MAKE)),
        camera_model=_text(main.get(_MODEL)),
    )


def _directories(block: bytes) -> tuple[Directory, Directory, Directory]:
    """Read the fields that are asked for out of the three directories that hold them."""
    exif = Image.Exif()
    _parsed(partial(exif.load, block), None)
    nothing: Directory = {}
    camera = _parsed(partial(exif.get_ifd, _EXIF_DIRECTORY), nothing)
    gps = _parsed(partial(exif.get_ifd, _GPS_DIRECTORY), nothing)
    return (
        _fields(exif, (_MAKE, _MODEL, _ORIENTATION)),
        _fields(camera, [tag for tags in _TIMES for tag in tags]),
        _fields(gps, (*range(_LATITUDE_REF, _GPS_TIME + 1), _GPS_DATE, _POSITION_ERROR)),
    )


def _fields(directory: Directory, tags: Iterable[int]) -> Directory:
    """Copy the wanted fields; values are parsed at access, so each may fail on its own."""
    return {tag: _parsed(partial(getitem, directory, tag), None) for tag in tags}


def _parsed(read: Callable[[], _Value], otherwise: _Value) -> _Value:
    """Return what the parser reads, or `otherwise` where the block is broken at that place."""
    try:
        return read()
    except Exception:  # noqa: BLE001  # it raises whatever a broken block leads it to
        return otherwise


def _time_taken(camera: Directory) -> tuple[datetime | None, timezone | None]:
    """Return the camera's own clock time and its offset, the two of one pair of tags."""
    for time_tag, offset_tag, decimals_tag in _TIMES:
        naive = _clock_time(camera.get(time_tag), camera.get(decimals_tag))
        if naive is not None:
            return naive, _offset(camera.get(offset_tag))
    return None, None


def _clock_time(value: object, decimals: object = None) -> datetime | None:
    match = _DATE_TIME.fullmatch(_text(value) or "")
    if match is None:
        return None
    digits = _text(decimals) or ""
    microsecond = int(digits[:6].ljust(6, "0")) if digits.isascii() and digits.isdigit() else 0
    year, month, day, hour, minute, second = map(int, match.groups())
    try:
        # Without a zone, as the tag is: the offset has a tag of its own, and often none.
        return datetime(year, month, day, hour, minute, second, microsecond)  # noqa: DTZ001
    except ValueError:  # 0000:00:00 and the like: a camera whose clock was never set
        return None


def _offset(value: object) -> timezone | None:
    match = _OFFSET.fullmatch(_text(value) or "")
    if match is None:
        return None
    sign, hours, minutes = match.groups()
    size = timedelta(hours=int(hours), minutes=int(minutes))
    if size > _LONGEST_OFFSET or int(minutes) > 59:
        return None
    return timezone(size if sign == "+" else -size)


def _gps_time(gps: Directory) -> datetime | None:
    """Join the date and the time of the fix; both are UTC by definition of the tags."""
    clock = _numbers(gps.get(_GPS_TIME), 3)
    if clock is None:
        return None
    hour, minute, second = clock
    midnight = _clock_time(f"{_text(gps.get(_GPS_DATE))} 00:00:00")
    if midnight is None or not (0 <= hour < 24 and 0 <= minute < 60 and 0 <= second < 60):
        return None
    since_midnight = timedelta(hours=hour, minutes=minute, seconds=second)
    try:
        return midnight.replace(tzinfo=UTC) + since_midnight
    except OverflowError:
        return None


def _degrees(gps: Directory, tag: int, ref_tag: int, letters: str, limit: int) -> float | None:
    """Return signed degrees; without its letter a coordinate could be on either side: None."""
    parts = _numbers(gps.get(tag), 3)
    letter = _text(gps.get(ref_tag))
    if parts is None or letter is None or letter not in letters:
        return None
    degrees, minutes, seconds = parts
    size = degrees + minutes / 60 + seconds / 3600
    if not 0 <= size <= limit:
        return None
    return size if letter == letters[0] else -size


def _altitude(gps: Directory) -> float | None:
    height = _number(gps.get(_ALTITUDE))
    below_sea_level = gps.get(_ALTITUDE_REF) in (1, b"\x01")
    return -height if height is not None and below_sea_level else height


def _orientation(value: object) -> int:
    return value if isinstance(value, int) and 1 <= value <= 8 else 1


def _numbers(value: object, count: int) -> tuple[float, ...] | None:
    if not isinstance(value, tuple) or len(value) != count:
        return None
    numbers = tuple(number for number in map(_number, value) if number is not None)
    return numbers if len(numbers) == count else None


def _number(value: object) -> float | None:
    """Return a finite number not below zero, as every Exif rational that is read here must be."""
    try:
        number = float(value)  # type: ignore[arg-type]  # rationals of Pillow, or anything else
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) and number >= 0 else None


def _text(value: object) -> str | None:
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    if not isinstance(value, str):
        return None
    text = value.partition("\0")[0].strip()[:_TEXT_LENGTH]
    return text if text and text.isprintable() else None
