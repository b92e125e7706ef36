"""Wednesday until the rain: the first two strips of the main roof, on a cold and damp morning."""

from __future__ import annotations

from dataclasses import replace

from qa.demo.buckets import Bucket, make, mix_of
from qa.demo.calendar import MAIN_DAY, NELL, TAM, moment
from qa.demo.diary import About, Diary
from qa.demo.examining import bays_of, clear, find_clear
from qa.demo.opening import MAIN, MAIN_SHAPE, PORCH, THE_MAIN_ROOF, THE_PORCH
from qa.demo.readings import read_the_weather
from qa.demo.supplies import RESIN_A
from qa.photos.drawn import (
    AirMeter,
    DeckThermometer,
    DryingAfterRain,
    MatRolledOut,
    RainOnCover,
    TransparentBay,
    Weather,
)
from qa.record.kinds.readings import Cause, Conditions, Interruption
from qa.trade.vocabulary import Stage

AIR_C, HUMIDITY_PCT, DECK_C = 9.6, 84, 10.1
RAINED_ON = ("r2b1", "r2b2", "r2b3")

_TYPED_KG = 42.0
_THIRD = Bucket(
    mix="mix-08", clock="09:24", emptied="09:36", by=NELL, area=MAIN, lot=RESIN_A,
    kg=4.2, catalyst_ml=160, deck_c=12.6, bays="r1b6 r1b7 r2b7",
)  # fmt: skip
_BEFORE_TEN = (
    Bucket(
        mix="mix-06", clock="08:22", emptied="08:33", by=NELL, area=MAIN, lot=RESIN_A,
        kg=2.9, catalyst_ml=112, deck_c=10.7, bays="r1b1 r1b2",
    ),
    Bucket(
        mix="mix-07", clock="08:52", emptied="09:04", by=TAM, area=MAIN, lot=RESIN_A,
        kg=4.3, catalyst_ml=165, deck_c=11.5, bays="r1b3 r1b4 r1b5",
    ),
)  # fmt: skip
_AFTER_TEN = (
    Bucket(
        mix="mix-09", clock="10:02", emptied="10:16", by=TAM, area=MAIN, lot=RESIN_A,
        kg=3.8, catalyst_ml=114, deck_c=13.4, bays="r2b4 r2b5 r2b6",
    ),
    Bucket(
        mix="mix-10", clock="10:34", emptied="10:48", by=NELL, area=MAIN, lot=RESIN_A,
        kg=4.1, catalyst_ml=122, deck_c=14.3, bays="r2b1 r2b2 r2b3",
    ),
)  # fmt: skip


def laminate_until_the_rain(diary: Diary) -> None:
    """From the first reading to the second look after the rain."""
    diary.day, diary.stage, diary.weather = MAIN_DAY, Stage.LAMINATE, Weather.OVERCAST
    _first_look(diary)
    for bucket in _BEFORE_TEN:
        make(diary, bucket)
    _mistyped(diary)
    for bucket in _AFTER_TEN:
        make(diary, bucket)
    read_the_weather(diary, "09:20", TAM, air_c=11.9, humidity_pct=76, deck_c=12.5)
    diary.photograph(
        "10:22",
        TAM,
        MatRolledOut(shape=MAIN_SHAPE, progress=0.4),
        "Mat rolled out and cut, feathered edge over straight edge",
        About(area=MAIN, check="laminate.mat_overlap"),
    )
    _look_at_two_rows(diary)
    read_the_weather(
        diary, "11:01", TAM, air_c=14.1, humidity_pct=69, deck_c=14.7, wind_m_per_s=3.8
    )
    _sheet_over(diary)


def _first_look(diary: Diary) -> None:
    read_the_weather(
        diary,
        "07:52",
        NELL,
        air_c=AIR_C,
        humidity_pct=HUMIDITY_PCT,
        deck_c=DECK_C,
        wind_m_per_s=1.4,
    )
    diary.photograph(
        "07:54",
        NELL,
        AirMeter(air_c=AIR_C, humidity_pct=HUMIDITY_PCT),
        "Damp start: 9.6 and 84, dew point 7.0",
        About(area=MAIN, check="conditions.dew_margin"),
    )
    diary.photograph(
        "07:55",
        NELL,
        DeckThermometer(deck_c=DECK_C),
        "Deck 10.1, three above the dew point and no more, waiting for the sun",
        About(area=MAIN, check="conditions.dew_margin"),
    )


def _mistyped(diary: Diary) -> None:
    """A slip of the thumb: 42 kg for 4.2, seen and corrected within minutes."""
    slip = replace(_THIRD, kg=_TYPED_KG)
    wrong = make(diary, slip)
    diary.correct(
        "09:38",
        NELL,
        wrong,
        "Typed 42 kg, meant 4.2 kg: the point went missing. The scale read 4.20.",
        mix_of(diary, _THIRD),
    )


def _look_at_two_rows(diary: Diary) -> None:
    find_clear(diary, "09:42", TAM, THE_MAIN_ROOF, 1)
    diary.photograph(
        "09:47",
        TAM,
        TransparentBay(),
        "Clear, boards showing through",
        About(area=MAIN, bay="r1b4", check="laminate.wet_out"),
    )
    find_clear(diary, "10:52", NELL, THE_MAIN_ROOF, 2)
    _tapped_the_porch(diary)
    diary.photograph(
        "10:57",
        NELL,
        TransparentBay(),
        "Clear: a bit lean, but wet through",
        About(area=MAIN, bay="r2b5", check="laminate.wet_out"),
    )


def _tapped_the_porch(diary: Diary) -> None:
    """The same bay written down once more, under the wrong roof, and taken back."""
    second_strip = {bay.key: bay for bay in bays_of(THE_PORCH)}["r2b2"]
    wrong = diary.write("10:54", NELL, clear(PORCH, second_strip, passes=5))
    diary.correct(
        "10:56",
        NELL,
        wrong,
        "Tapped the porch by mistake. It was the main roof, and r2b2 there is already in.",
        None,
    )


def _sheet_over(diary: Diary) -> None:
    """Rain for an hour: stopped, covered, dried, looked at again."""
    diary.weather = Weather.RAIN
    diary.write(
        "11:26", TAM, Conditions(stage=Stage.LAMINATE, area=MAIN, wind_m_per_s=5.2, rain=True)
    )
    diary.photograph(
        "11:31",
        TAM,
        RainOnCover(shape=MAIN_SHAPE),
        "Rain. Sheet on within four minutes, timbers on the sheet",
        About(area=MAIN, check="conditions.dry"),
    )
    diary.write(
        "12:34",
        NELL,
        Interruption(
            stage=Stage.LAMINATE,
            area=MAIN,
            cause=Cause.RAIN,
            from_=moment(MAIN_DAY, "11:24"),
            until=moment(MAIN_DAY, "12:31"),
            protection="Sheeted over in four minutes, edges weighted; the open edge of the second "
            "strip dried with cloths and warm air afterwards",
            bays=RAINED_ON,
        ),
    )
    diary.weather = Weather.HAZE
    diary.photograph(
        "12:41",
        TAM,
        DryingAfterRain(shape=MAIN_SHAPE, wetness=0.3, laminated=True),
        "Sheet off, the damp places being wiped and dried",
        About(area=MAIN, check="conditions.dry"),
    )
    _look_again(diary)


def _look_again(diary: Diary) -> None:
    read_the_weather(diary, "13:02", TAM, air_c=12.6, humidity_pct=82, deck_c=14.2)
    bays = {bay.key: bay for bay in bays_of(THE_MAIN_ROOF)}
    for clock, key in zip(("13:04", "13:05", "13:06"), RAINED_ON, strict=True):
        diary.write(clock, TAM, clear(MAIN, bays[key], passes=5))
