"""Bays looked at one after another while they can still be seen through."""

from __future__ import annotations

from collections.abc import Sequence

from qa.demo.diary import Diary
from qa.record.kinds.place import Area
from qa.record.kinds.readings import Examination
from qa.trade.bays import Bay, lay_out_bays
from qa.trade.strips import strip_angle_deg
from qa.trade.vocabulary import WetOut

_MAT_WIDTH_M, _MAT_OVERLAP_M, _BAY_LENGTH_M = 1.0, 0.05, 1.0
"""As the specification that the job pins has them; a test holds the two together."""


def bays_of(roof: Area) -> tuple[Bay, ...]:
    """The bays of an area by the job's strip layout."""
    laid = roof.roof
    return lay_out_bays(
        laid,
        mat_width_m=_MAT_WIDTH_M,
        mat_overlap_m=_MAT_OVERLAP_M,
        bay_length_m=_BAY_LENGTH_M,
        angle_deg=strip_angle_deg(laid.outline),
    )


def find_clear(
    diary: Diary,
    clock: str,
    by: str,
    roof: Area,
    row: int,
    *,
    passes: int = 5,
    but: Sequence[str] = (),
) -> None:
    """Writes that every bay of a row is clear, two a minute, without those in `but`."""
    bays = [bay for bay in bays_of(roof) if bay.row == row and bay.key not in but]
    hour, minute = map(int, clock.split(":"))
    for number, bay in enumerate(bays):
        minutes = hour * 60 + minute + number // 2
        body = clear(roof.area, bay, passes=passes + number % 2)
        diary.write(f"{minutes // 60:02}:{minutes % 60:02}", by, body)


def clear(
    area: str,
    bay: Bay,
    *,
    passes: int,
    thickness_mm: tuple[float, ...] | None = None,
    after_repair: bool | None = None,
) -> Examination:
    """The examination of a bay without fault."""
    return Examination(
        area=area,
        bay=bay.key,
        wet_out=WetOut.TRANSPARENT,
        opaque_cm2=0,
        pinholes=0,
        trapped_air=0,
        examined_m2=round(bay.area_m2, 2),
        passes=passes,
        thickness_mm=thickness_mm,
        after_repair=after_repair,
    )
