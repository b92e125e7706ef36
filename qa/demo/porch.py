"""Tuesday afternoon: the porch laminated, in two mixes and one sitting."""

from __future__ import annotations

from qa.demo.buckets import Bucket, make, use_up
from qa.demo.calendar import BANDAGE_DAY, NELL, TAM
from qa.demo.diary import About, Diary
from qa.demo.examining import find_clear
from qa.demo.opening import PORCH, THE_PORCH
from qa.demo.readings import measure, read_the_weather
from qa.demo.supplies import MAT, RESIN_A, TAPE
from qa.photos.drawn import RollerAtWork, Scale, TransparentBay, Weather
from qa.record.kinds.supplies import Unit
from qa.trade.vocabulary import Stage

FIRST_KG = 3.0

_FIRST = Bucket(
    mix="mix-04", clock="14:02", emptied="14:19", by=NELL, area=PORCH, lot=RESIN_A,
    kg=FIRST_KG, catalyst_ml=60, deck_c=18.4, bays="r1b1 r1b2",
)  # fmt: skip
_SECOND = Bucket(
    mix="mix-05", clock="14:41", emptied="14:59", by=NELL, area=PORCH, lot=RESIN_A,
    kg=5.9, catalyst_ml=116, deck_c=18.2, bays="r1b3 r2b1 r2b2 r2b3",
)  # fmt: skip


def laminate_the_porch(diary: Diary) -> None:
    """The porch's share of the laminate stage."""
    diary.day, diary.stage, diary.weather = BANDAGE_DAY, Stage.LAMINATE, Weather.SUN
    read_the_weather(
        diary, "13:48", TAM, air_c=16.8, humidity_pct=57, deck_c=18.6, wind_m_per_s=2.4
    )
    diary.photograph(
        "14:00",
        NELL,
        Scale(resin_kg=FIRST_KG),
        "First mix, 3.00 kg on the scale before the hardener",
        About(area=PORCH, mix=_FIRST.mix),
    )
    make(diary, _FIRST)
    diary.photograph(
        "14:14",
        TAM,
        RollerAtWork(),
        "Paddle roller working out of the first strip",
        About(area=PORCH, bay="r1b2", mix=_FIRST.mix),
    )
    make(diary, _SECOND)
    _look_over(diary)


def _look_over(diary: Diary) -> None:
    find_clear(diary, "15:10", TAM, THE_PORCH, 1)
    find_clear(diary, "15:13", TAM, THE_PORCH, 2)
    diary.photograph(
        "15:16",
        TAM,
        TransparentBay(),
        "Back strip: boards to be seen through it everywhere",
        About(area=PORCH, bay="r2b2", check="laminate.wet_out"),
    )
    measure(diary, "15:21", NELL, "laminate.mat_overlap", 55, "mm", area=PORCH, instrument=TAPE)
    use_up(diary, "15:34", NELL, PORCH, RESIN_A, 8.9, wasted=0.2)
    use_up(diary, "15:35", NELL, PORCH, MAT, 6.6, Unit.M2, wasted=0.3)
    read_the_weather(diary, "15:40", TAM, air_c=16.9, humidity_pct=56, deck_c=18.1)
