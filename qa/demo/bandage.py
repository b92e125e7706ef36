"""Tuesday morning: every joint of both areas under a strip of glass, on a deck still cool."""

from __future__ import annotations

from qa.demo.buckets import Bucket, make, use_up
from qa.demo.calendar import BANDAGE_DAY, NELL, TAM
from qa.demo.diary import About, Diary
from qa.demo.opening import MAIN, PORCH
from qa.demo.readings import measure, observe, read_the_weather, release, sign_off
from qa.demo.supplies import BANDAGE, RESIN_A, TAPE
from qa.photos.drawn import AirMeter, Bandage, DeckThermometer, Joint, Subject, Weather
from qa.record.kinds.supplies import Unit
from qa.trade.vocabulary import Stage

_CORNER, _TRIMS = Bandage(joint=Joint.CORNER), Bandage(joint=Joint.TRIMS)
_BOARDS = Bandage(joint=Joint.BOARDS)

_BUCKETS = (
    Bucket(
        mix="mix-01", clock="08:44", emptied="08:56", by=NELL, area=MAIN, lot=RESIN_A,
        kg=3.4, catalyst_ml=130, deck_c=11.6,
    ),
    Bucket(
        mix="mix-02", clock="09:34", emptied="09:48", by=NELL, area=MAIN, lot=RESIN_A,
        kg=3.2, catalyst_ml=95, deck_c=13.5,
    ),
    Bucket(
        mix="mix-03", clock="10:32", emptied="10:43", by=TAM, area=PORCH, lot=RESIN_A,
        kg=1.8, catalyst_ml=54, deck_c=14.8,
    ),
)  # fmt: skip

_DETAILS: tuple[tuple[str, str, Subject, str, str], ...] = (
    ("09:06", TAM, _CORNER, MAIN, "Corner eaves to east, strip clear"),
    ("09:09", TAM, _CORNER, MAIN, "Corner east to the kitchen wall, strip clear"),
    ("09:13", TAM, _TRIMS, MAIN, "Inside corner, strip up both trims"),
    ("10:01", TAM, _CORNER, MAIN, "Corner hall wall to north, strip clear"),
    ("10:04", TAM, _CORNER, MAIN, "Corner north to west, strip clear"),
    ("10:08", TAM, _BOARDS, MAIN, "Corner west to eaves: board joints running into it, covered"),
    ("10:51", NELL, _CORNER, PORCH, "Corner, front right, strip clear"),
    ("10:53", NELL, _TRIMS, PORCH, "Right side to the wall, strip over the lap"),
    ("10:56", NELL, _TRIMS, PORCH, "Wall to left side, strip over the lap"),
    ("10:58", NELL, _CORNER, PORCH, "Corner, front left, strip clear"),
)


def bandage_the_joints(diary: Diary) -> None:
    """The whole stage."""
    diary.day, diary.stage, diary.weather = BANDAGE_DAY, Stage.BANDAGE, Weather.HAZE
    _first_look(diary)
    for bucket in _BUCKETS:
        make(diary, bucket)
    read_the_weather(diary, "10:05", TAM, air_c=13.0, humidity_pct=70, deck_c=14.1)
    for clock, by, subject, area, caption in _DETAILS:
        diary.photograph(clock, by, subject, caption, About(area=area))
    _look_over(diary)
    sign_off(diary, "11:48", "All joints and corners covered, strips clear, nothing lifting.")
    release(diary, "13:06", "Every corner looked at on the roof. Hard to the nail. Released.")


def _first_look(diary: Diary) -> None:
    read_the_weather(
        diary, "08:12", NELL, air_c=10.8, humidity_pct=80, deck_c=11.2, wind_m_per_s=2.1
    )
    diary.photograph(
        "08:14",
        NELL,
        AirMeter(air_c=10.8, humidity_pct=80),
        "Air 10.8, humidity 80: dew point is close, deck still clear of it",
        About(area=MAIN, check="conditions.dew_margin"),
    )
    diary.photograph(
        "08:15",
        NELL,
        DeckThermometer(deck_c=11.2),
        "Deck 11.2, so four per cent of hardener",
        About(area=MAIN, check="conditions.deck_temperature"),
    )


def _look_over(diary: Diary) -> None:
    counts = {MAIN: "31 joints counted, 31 covered.", PORCH: "12 joints counted, 12 covered."}
    strips_mm = {MAIN: 160.0, PORCH: 155.0}
    used = {MAIN: (6.6, 0.2, 58.0), PORCH: (1.8, 0.1, 16.0)}
    for area, clock in ((MAIN, "11:22"), (PORCH, "11:28")):
        observe(diary, clock, NELL, "bandage.joints_covered", area=area, note=counts[area])
        measure(
            diary, clock, NELL, "bandage.corner_strip", strips_mm[area], "mm", area=area,
            instrument=TAPE,
        )  # fmt: skip
        observe(diary, clock, NELL, "bandage.wet_out", area=area)
        resin_kg, wasted_kg, strip_m = used[area]
        use_up(diary, clock, NELL, area, RESIN_A, resin_kg, wasted=wasted_kg)
        use_up(diary, clock, NELL, area, BANDAGE, strip_m, Unit.M)
