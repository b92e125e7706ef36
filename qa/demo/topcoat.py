"""Thursday: sanded, wiped, and the topcoat on before two o'clock."""

from __future__ import annotations

from qa.demo.buckets import Bucket, make, use_up
from qa.demo.calendar import NELL, TAM, TOPCOAT_DAY
from qa.demo.diary import About, Diary
from qa.demo.opening import AREAS, MAIN, MAIN_SHAPE, PORCH
from qa.demo.readings import observe, read_the_weather, release, sign_off
from qa.demo.supplies import SOLVENT, TOPCOAT
from qa.photos.drawn import Sanding, TopcoatHalfOn, TopcoatRoller, Weather, WipedSurface
from qa.record.kinds.supplies import Unit
from qa.trade.vocabulary import Stage

_BUCKETS = (
    Bucket(
        mix="mix-17", clock="10:42", emptied="11:00", by=NELL, area=MAIN, lot=TOPCOAT,
        kg=3.2, catalyst_ml=64, deck_c=15.8,
        bays="r3b7 r4b1 r4b2 r4b3 r4b4 r5b1 r5b2 r5b3 r5b4",
    ),
    Bucket(
        mix="mix-18", clock="11:18", emptied="11:35", by=NELL, area=MAIN, lot=TOPCOAT,
        kg=3.5, catalyst_ml=70, deck_c=16.9,
        bays="r2b4 r2b5 r2b6 r2b7 r3b1 r3b2 r3b3 r3b4 r3b5 r3b6",
    ),
    Bucket(
        mix="mix-19", clock="11:58", emptied="12:14", by=TAM, area=MAIN, lot=TOPCOAT,
        kg=3.6, catalyst_ml=72, deck_c=17.9,
        bays="r1b1 r1b2 r1b3 r1b4 r1b5 r1b6 r1b7 r2b1 r2b2 r2b3",
    ),
    Bucket(
        mix="mix-20", clock="12:44", emptied="12:57", by=TAM, area=PORCH, lot=TOPCOAT,
        kg=2.2, catalyst_ml=44, deck_c=18.4, bays="r1b1 r1b2 r1b3 r2b1 r2b2 r2b3",
    ),
)  # fmt: skip


def coat_the_roof(diary: Diary) -> None:
    """The whole stage."""
    diary.day, diary.stage, diary.weather = TOPCOAT_DAY, Stage.TOPCOAT, Weather.HAZE
    _prepare(diary)
    read_the_weather(
        diary, "10:20", NELL, air_c=13.4, humidity_pct=66, deck_c=15.1, wind_m_per_s=2.0
    )
    for bucket in _BUCKETS:
        make(diary, bucket)
    diary.photograph(
        "11:41",
        TAM,
        TopcoatHalfOn(shape=MAIN_SHAPE, progress=0.55),
        "Edges and corners first, then the field from the north end",
        About(area=MAIN, check="topcoat.coverage"),
    )
    read_the_weather(diary, "12:06", NELL, air_c=16.1, humidity_pct=57, deck_c=18.0)
    diary.photograph(
        "12:52",
        TAM,
        TopcoatRoller(),
        "Last square metre",
        About(area=PORCH, mix="mix-20", check="topcoat.coverage"),
    )
    _look_over(diary)
    sign_off(diary, "14:12", "Topcoat on both roofs, wet edge kept, no misses in raking light.")
    release(diary, "15:04", "Even, closed and within weight on both roofs. Released.")


def _prepare(diary: Diary) -> None:
    for area, clock in zip(AREAS, ("08:10", "08:14"), strict=True):
        observe(
            diary, clock, NELL, "topcoat.laminate_cured", area=area, note="Sands to dust, no pull."
        )
    diary.photograph(
        "08:52",
        TAM,
        Sanding(),
        "Forty grit, strands down, corners left whole",
        About(area=MAIN, check="topcoat.sanded"),
    )
    for area, clock in zip(AREAS, ("09:36", "09:41"), strict=True):
        observe(diary, clock, TAM, "topcoat.sanded", area=area)
    diary.photograph(
        "10:02",
        NELL,
        WipedSurface(),
        "Dust off, wiped with solvent, flashing off",
        About(area=MAIN, check="topcoat.wiped"),
    )
    for area, clock, litres in zip(AREAS, ("10:06", "10:11"), (1.8, 0.4), strict=True):
        observe(diary, clock, NELL, "topcoat.wiped", area=area)
        use_up(diary, clock, NELL, area, SOLVENT, litres, Unit.L)


def _look_over(diary: Diary) -> None:
    for area, clock in zip(AREAS, ("13:20", "13:24"), strict=True):
        observe(diary, clock, NELL, "topcoat.coverage", area=area)
    use_up(diary, "13:31", NELL, MAIN, TOPCOAT, 10.3, wasted=0.15)
    use_up(diary, "13:32", NELL, PORCH, TOPCOAT, 2.2, wasted=0.05)
    read_the_weather(diary, "13:40", TAM, air_c=16.8, humidity_pct=55, deck_c=18.9)
