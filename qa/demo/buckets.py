"""Mixes made and materials used up, in the diary's stage."""

from __future__ import annotations

from dataclasses import dataclass

from qa.demo.calendar import moment
from qa.demo.diary import Diary
from qa.demo.supplies import CATALYST, SCALE
from qa.record.kinds.supplies import Mix, Unit, Usage
from qa.trade.vocabulary import Stage

_STIRRED_BEFORE_S = 40
_STIRRED_AFTER_S = {Stage.BANDAGE: 45, Stage.LAMINATE: 45, Stage.TOPCOAT: 75}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bucket:
    """One mix, as it is called out across the roof.

    Attributes:
        clock: hours and minutes at which the catalyst went in.
        emptied: hours and minutes at which it was used up.
        bays: where it was laid, keys with spaces between them; none where it was not kept apart.
    """

    mix: str
    clock: str
    emptied: str
    by: str
    area: str
    lot: str
    kg: float
    catalyst_ml: float
    deck_c: float
    bays: str = ""


def make(diary: Diary, bucket: Bucket) -> str:
    """Writes a mix and answers its id."""
    return diary.write(bucket.clock, bucket.by, mix_of(diary, bucket))


def mix_of(diary: Diary, bucket: Bucket) -> Mix:
    """The entry's body for a bucket made in the diary's stage."""
    return Mix(
        mix=bucket.mix,
        stage=diary.stage,
        area=bucket.area,
        bays=tuple(bucket.bays.split()) or None,
        lot=bucket.lot,
        kg=bucket.kg,
        catalyst_lot=CATALYST,
        catalyst_ml=bucket.catalyst_ml,
        deck_c=bucket.deck_c,
        stirred_before_s=_STIRRED_BEFORE_S,
        stirred_after_s=_STIRRED_AFTER_S[diary.stage],
        emptied_at=moment(diary.day, bucket.emptied),
    )


def use_up(
    diary: Diary,
    clock: str,
    by: str,
    area: str,
    lot: str,
    used: float,
    unit: Unit = Unit.KG,
    *,
    wasted: float | None = None,
) -> str:
    """Writes what left a lot's container for an area, weighed where it is kilograms."""
    body = Usage(
        stage=diary.stage,
        area=area,
        lot=lot,
        used=used,
        unit=unit,
        wasted=wasted,
        instrument=SCALE if unit is Unit.KG else None,
    )
    return diary.write(clock, by, body)
