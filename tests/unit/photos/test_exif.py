"""What a camera wrote: read as it stands, never guessed, never a reason to refuse.

Tags and formats: CIPA DC-008 (Exif 2.32).
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.photos.exif import read_exif
from qa.photos.facts import CameraFacts
from tests.unit.photos.sample_photos import exif_of

TAKEN = "2026:05:12 08:40:07"
NAIVE = datetime(2026, 5, 12, 8, 40, 7)  # noqa: DTZ001  # a camera's clock has no zone


def test_camera_clock_alone_is_no_instant() -> None:
    facts = read_exif(exif_of(camera={0x9003: TAKEN}))
    assert facts.taken_at_naive == NAIVE
    assert facts.taken_at is None


@pytest.mark.parametrize(
    ("written", "hours"), [("+01:00", 1), ("-03:30", -3.5), ("+00:00", 0), ("+14:00", 14)]
)
def test_offset_makes_the_time_an_instant(written: str, hours: float) -> None:
    facts = read_exif(exif_of(camera={0x9003: TAKEN, 0x9011: written}))
    assert facts.taken_at == NAIVE.replace(tzinfo=timezone(timedelta(hours=hours)))
    assert facts.taken_at_naive == NAIVE


@pytest.mark.parametrize("written", ["+14:01", "+25:00", "+01:60", "0100", "Z", "", "   :  "])
def test_impossible_offset_is_no_offset(written: str) -> None:
    facts = read_exif(exif_of(camera={0x9003: TAKEN, 0x9011: written}))
    assert (facts.taken_at, facts.taken_at_naive) == (None, NAIVE)


def test_offset_of_another_time_is_not_borrowed() -> None:
    other_offsets = {0x9010: "+01:00", 0x9012: "+01:00"}
    assert read_exif(exif_of(camera={0x9003: TAKEN, **other_offsets})).taken_at is None


def test_time_digitised_stands_in_for_time_taken() -> None:
    facts = read_exif(exif_of(camera={0x9004: TAKEN, 0x9012: "+01:00"}))
    assert facts.taken_at == NAIVE.replace(tzinfo=timezone(timedelta(hours=1)))


def test_time_of_last_change_is_not_time_taken() -> None:
    assert read_exif(exif_of(main={0x0132: TAKEN})) == CameraFacts()


def test_decimals_of_a_second_are_kept() -> None:
    facts = read_exif(exif_of(camera={0x9003: TAKEN, 0x9291: "250"}))
    assert facts.taken_at_naive == NAIVE.replace(microsecond=250_000)


@pytest.mark.parametrize(
    "written", ["0000:00:00 00:00:00", "2026:02:30 08:00:00", "    :  :     :  :  ", "12/05/2026"]
)
def test_clock_never_set_gives_no_time(written: str) -> None:
    assert read_exif(exif_of(camera={0x9003: written})).taken_at_naive is None


def test_gps_time_is_utc() -> None:
    gps = {7: (7.0, 40.0, 6.5), 0x1D: "2026:05:12"}
    facts = read_exif(exif_of(gps=gps))
    assert facts.gps_at == datetime(2026, 5, 12, 7, 40, 6, 500_000, tzinfo=UTC)


@pytest.mark.parametrize(
    "gps",
    [
        {7: (7.0, 40.0, 6.0)},
        {0x1D: "2026:05:12"},
        {7: (24.0, 0.0, 0.0), 0x1D: "2026:05:12"},
        {7: (7.0, 40.0), 0x1D: "2026:05:12"},
        {7: (7.0, 40.0, 60.0), 0x1D: "9999:12:31"},
    ],
)
def test_half_a_gps_time_is_none(gps: dict[int, object]) -> None:
    assert read_exif(exif_of(gps=gps)).gps_at is None


def test_position_has_the_sign_of_its_letters() -> None:
    gps = {1: "N", 2: (53.0, 28.0, 48.0), 3: "W", 4: (2.0, 14.0, 24.0)}
    facts = read_exif(exif_of(gps=gps))
    assert facts.latitude_deg == pytest.approx(53.48)
    assert facts.longitude_deg == pytest.approx(-2.24)
    south_east = read_exif(exif_of(gps={**gps, 1: "S", 3: "E"}))
    assert south_east.latitude_deg == pytest.approx(-53.48)
    assert south_east.longitude_deg == pytest.approx(2.24)


@pytest.mark.parametrize(
    "gps",
    [
        {2: (53.0, 28.0, 48.0)},
        {1: "Q", 2: (53.0, 28.0, 48.0)},
        {1: "", 2: (53.0, 28.0, 48.0)},
        {1: "N", 2: (90.0, 0.0, 0.01)},
        {1: "N", 2: (53.0, 28.0)},
    ],
)
def test_position_without_its_side_is_none(gps: dict[int, object]) -> None:
    assert read_exif(exif_of(gps=gps)).latitude_deg is None


def test_pole_is_still_a_latitude() -> None:
    assert read_exif(exif_of(gps={1: "S", 2: (90.0, 0.0, 0.0)})).latitude_deg == -90


def test_altitude_below_sea_level_is_negative() -> None:
    assert read_exif(exif_of(gps={5: b"\x00", 6: 12.5})).altitude_m == 12.5
    assert read_exif(exif_of(gps={5: b"\x01", 6: 12.5})).altitude_m == -12.5


def test_camera_names_lose_padding_and_mischief() -> None:
    assert read_exif(exif_of(main={0x010F: "  Invented \0rest"})).camera_make == "Invented"
    assert read_exif(exif_of(main={0x0110: "a\nb"})).camera_model is None
    assert len(read_exif(exif_of(main={0x0110: "x" * 5000})).camera_model or "") == 80


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_unknown_orientation_counts_as_upright(orientation: int) -> None:
    assert read_exif(exif_of(main={0x0112: orientation})).orientation == 1


def test_one_broken_field_costs_only_itself() -> None:
    block = exif_of(main={0x010F: "Invented", 0x0112: 6}, camera={0x9003: TAKEN})
    broken = block.replace(TAKEN.encode(), b"\xff" * len(TAKEN))
    facts = read_exif(broken)
    assert (facts.camera_make, facts.orientation, facts.taken_at_naive) == ("Invented", 6, None)


FULL_BLOCK = exif_of(
    {0x010F: "Invented", 0x0110: "One", 0x0112: 6},
    {0x9003: TAKEN, 0x9011: "+01:00", 0x9291: "25"},
    {1: "N", 2: (53.0, 28.0, 48.0), 3: "W", 4: (2.0, 14.0, 24.0), 6: 12.5, 0x1D: "2026:05:12"},
)


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")  # quiet under `strict_decoding`
@given(at=st.integers(0, len(FULL_BLOCK) - 1), value=st.integers(0, 255))
def test_any_byte_may_be_wrong(at: int, value: int) -> None:
    read_exif(FULL_BLOCK[:at] + bytes([value]) + FULL_BLOCK[at + 1 :])


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")
@given(
    block=st.binary(max_size=200) | st.integers(0, len(FULL_BLOCK)).map(lambda n: FULL_BLOCK[:n])
)
def test_any_bytes_are_read_as_facts(block: bytes) -> None:
    assert isinstance(read_exif(block), CameraFacts)
