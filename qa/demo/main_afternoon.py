"""Wednesday after the rain: three strips, one bay cut out and laid again, a night of waiting."""

from __future__ import annotations

from datetime import timedelta

from qa.demo.buckets import Bucket, make, use_up
from qa.demo.calendar import MAIN_DAY, NELL, ORLA, TAM, TOPCOAT_DAY
from qa.demo.diary import About, Diary
from qa.demo.examining import bays_of, clear, find_clear
from qa.demo.opening import MAIN, MAIN_SHAPE, THE_MAIN_ROOF
from qa.demo.readings import measure, read_the_weather, release, sign_off
from qa.demo.supplies import LOGGER, MAT, RESIN_A, RESIN_B, TAPE
from qa.photos.drawn import Pinholes, TransparentBay, Weather, WetLaminate, WhitePatches
from qa.record.kinds.decisions import Closure, Disposition, DispositionDecision, Nonconformity
from qa.record.kinds.readings import Conditions, Examination
from qa.record.kinds.supplies import Unit
from qa.trade.vocabulary import Stage, WetOut

BAD_BAY = "r3b5"
STARVED_BAY = 2
"""Number of the nonconformity."""
PATCHES, PINHOLES = 3, 7

_STRIPS = (
    Bucket(
        mix="mix-11", clock="13:18", emptied="13:31", by=NELL, area=MAIN, lot=RESIN_B,
        kg=3.5, catalyst_ml=104, deck_c=15.1, bays="r3b1 r3b2 r3b3",
    ),
    Bucket(
        mix="mix-12", clock="13:44", emptied="13:56", by=TAM, area=MAIN, lot=RESIN_B,
        kg=3.1, catalyst_ml=92, deck_c=15.6, bays="r3b3 r3b4 r3b5",
    ),
    Bucket(
        mix="mix-13", clock="14:08", emptied="14:24", by=NELL, area=MAIN, lot=RESIN_B,
        kg=2.9, catalyst_ml=58, deck_c=16.3, bays="r3b5 r3b6 r3b7",
    ),
    Bucket(
        mix="mix-14", clock="14:52", emptied="15:10", by=TAM, area=MAIN, lot=RESIN_B,
        kg=5.5, catalyst_ml=110, deck_c=16.6, bays="r4b1 r4b2 r4b3 r4b4",
    ),
    Bucket(
        mix="mix-15", clock="15:22", emptied="15:40", by=NELL, area=MAIN, lot=RESIN_B,
        kg=5.4, catalyst_ml=108, deck_c=17.0, bays="r5b1 r5b2 r5b3 r5b4",
    ),
)  # fmt: skip
_AGAIN = Bucket(
    mix="mix-16", clock="16:32", emptied="16:43", by=NELL, area=MAIN, lot=RESIN_B,
    kg=1.3, catalyst_ml=26, deck_c=16.8, bays=BAD_BAY,
)  # fmt: skip

_NIGHT = (
    (MAIN_DAY, "19:45", 13.9),
    (MAIN_DAY, "21:45", 11.8),
    (MAIN_DAY, "23:45", 10.4),
    (TOPCOAT_DAY, "01:45", 9.6),
    (TOPCOAT_DAY, "03:45", 9.1),
    (TOPCOAT_DAY, "05:45", 9.0),
)


def laminate_after_the_rain(diary: Diary) -> None:
    """From the third strip to the release of the next morning."""
    diary.day, diary.stage, diary.weather = MAIN_DAY, Stage.LAMINATE, Weather.HAZE
    for bucket in _STRIPS:
        make(diary, bucket)
    find_clear(diary, "14:28", TAM, THE_MAIN_ROOF, 3, but=[BAD_BAY])
    _photograph_row(diary, "14:31", "r3b2", "Clear, lap to the strip below closed")
    _find_the_bad_bay(diary)
    read_the_weather(diary, "14:44", TAM, air_c=15.4, humidity_pct=70, deck_c=16.5)
    find_clear(diary, "15:14", TAM, THE_MAIN_ROOF, 4)
    _photograph_row(diary, "15:17", "r4b3", "Clear up to the hall wall")
    find_clear(diary, "15:45", NELL, THE_MAIN_ROOF, 5, passes=4)
    _photograph_row(diary, "15:48", "r5b1", "Last strip, clear")
    diary.photograph(
        "15:52",
        TAM,
        WetLaminate(shape=MAIN_SHAPE, side=3, progress=1.0),
        "All five strips down, one bay ringed for cutting out",
        About(area=MAIN),
    )
    _put_the_bad_bay_right(diary)
    _weigh_back(diary)
    _wait_for_the_morning(diary)


def _photograph_row(diary: Diary, clock: str, bay: str, caption: str) -> None:
    about = About(area=MAIN, bay=bay, check="laminate.wet_out")
    diary.photograph(clock, TAM, TransparentBay(), caption, about)


def _find_the_bad_bay(diary: Diary) -> None:
    area_m2 = {bay.key: bay.area_m2 for bay in bays_of(THE_MAIN_ROOF)}[BAD_BAY]
    diary.write(
        "14:34",
        TAM,
        Examination(
            area=MAIN,
            bay=BAD_BAY,
            wet_out=WetOut.WHITE_PATCHES,
            opaque_cm2=260,
            pinholes=PINHOLES,
            trapped_air=0,
            examined_m2=round(area_m2, 2),
            passes=4,
        ),
    )
    about = About(area=MAIN, bay=BAD_BAY, nonconformity=STARVED_BAY)
    diary.photograph(
        "14:36",
        TAM,
        WhitePatches(patches=PATCHES),
        "Three white patches, ringed. Between two buckets, nobody fed it",
        about,
    )
    diary.photograph("14:37", TAM, Pinholes(count=PINHOLES), "Seven pinholes beside them", about)
    diary.write(
        "14:39",
        TAM,
        Nonconformity(
            number=STARVED_BAY,
            stage=Stage.LAMINATE,
            area=MAIN,
            bay=BAD_BAY,
            description="Bay r3b5: white patches, 260 cm² in all, and seven pinholes. The mix went "
            "off there before more resin could be worked in.",
        ),
    )
    diary.write(
        "14:58",
        ORLA,
        Disposition(
            nonconformity=STARVED_BAY,
            decision=DispositionDecision.REWORK,
            reason="Dry glass lets water under the topcoat. Cut the bay out to the boards when it "
            "is firm, lap 50 mm on each side, lay it again and look again.",
        ),
    )


def _put_the_bad_bay_right(diary: Diary) -> None:
    about = About(area=MAIN, bay=BAD_BAY, nonconformity=STARVED_BAY)
    make(diary, _AGAIN)
    bay = {bay.key: bay for bay in bays_of(THE_MAIN_ROOF)}[BAD_BAY]
    again = diary.write(
        "16:56",
        TAM,
        clear(MAIN, bay, passes=6, thickness_mm=(1.2, 1.1, 1.2), after_repair=True),
    )
    photo = diary.photograph(
        "16:58",
        TAM,
        WhitePatches(patches=PATCHES, repaired=True),
        "Cut out and laid again, resin still fresh: no white left",
        about,
    )
    diary.photograph(
        "17:01",
        TAM,
        Pinholes(count=PINHOLES, repaired=True),
        "The same place after it was laid again: no holes",
        about,
    )
    diary.write(
        "17:09",
        ORLA,
        Closure(
            nonconformity=STARVED_BAY,
            statement="Cut out, laid again with mix-16, clear and without pinholes.",
            entries=(again, photo),
        ),
    )


def _weigh_back(diary: Diary) -> None:
    measure(diary, "17:14", NELL, "laminate.mat_overlap", 60, "mm", area=MAIN, instrument=TAPE)
    use_up(diary, "17:20", NELL, MAIN, RESIN_A, 19.3, wasted=0.4)
    use_up(diary, "17:21", NELL, MAIN, RESIN_B, 21.7, wasted=1.6)
    use_up(diary, "17:22", NELL, MAIN, MAT, 31.2, Unit.M2, wasted=2.4)
    read_the_weather(diary, "17:50", TAM, air_c=14.6, humidity_pct=70, deck_c=15.8)


def _wait_for_the_morning(diary: Diary) -> None:
    """A logger watches the deck overnight and is read out before work."""
    for day, clock, deck_c in _NIGHT:
        diary.day = day
        with diary.arriving(TOPCOAT_DAY, "07:28"):
            diary.write(
                clock,
                NELL,
                Conditions(stage=Stage.LAMINATE, area=MAIN, deck_c=deck_c, instruments=(LOGGER,)),
            )
    diary.day = MAIN_DAY + timedelta(days=1)
    read_the_weather(diary, "07:31", NELL, air_c=10.4, humidity_pct=79, deck_c=11.0)
    sign_off(diary, "07:40", "Both roofs laid, every bay looked at, hard under the thumbnail.")
    release(diary, "07:58", "Walked every bay of both roofs, r3b5 twice. Sound and hard. Released.")
