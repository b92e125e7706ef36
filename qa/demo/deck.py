"""Friday: boards on both areas, and a gap at the porch wall that came out narrow."""

from __future__ import annotations

from qa.demo.calendar import DECK_DAY, NELL, ORLA, TAM
from qa.demo.diary import About, Diary
from qa.demo.opening import MAIN, MAIN_SHAPE, PORCH, PORCH_SHAPE
from qa.demo.readings import measure, observe, release, sign_off
from qa.demo.supplies import BOARDS, MOISTURE, TAPE
from qa.photos.drawn import BoardsBeingLaid, FixingPattern, MoistureMeter, WallGap, Weather
from qa.record.kinds.decisions import Closure, Disposition, DispositionDecision, Nonconformity
from qa.record.kinds.papers import Note
from qa.record.kinds.supplies import Unit, Usage
from qa.trade.vocabulary import Stage

MAIN_MOISTURE_PCT, PORCH_MOISTURE_PCT = 13.8, 14.6
MAIN_GAP_MM, PORCH_GAP_MM = 26, 18
MAIN_CENTRES_MM, PORCH_CENTRES_MM = 190, 200
NARROW_GAP = 1
"""Number of the nonconformity."""

_SEEN = (
    "deck.board",
    "deck.dry",
    "deck.fixing_type",
    "deck.joints_staggered",
    "deck.laid_across_joists",
    "deck.wider_groove_up",
)


def board_the_roof(diary: Diary) -> None:
    """The whole stage, from the first run to the release."""
    diary.day, diary.stage, diary.weather = DECK_DAY, Stage.DECK, Weather.HAZE
    _lay(diary)
    _measure_main(diary)
    _measure_porch(diary)
    _decide_on_the_gap(diary)
    sign_off(diary, "16:20", "Both decks down, dry and swept. Porch gap is 18 mm, see fault 1.")
    release(diary, "16:48", "Walked both decks, fixings and gaps seen. Released for trims.")
    diary.write(
        "17:05",
        TAM,
        Note(stage=Stage.DECK, text="Both decks sheeted and weighted for the weekend."),
    )


def _lay(diary: Diary) -> None:
    diary.photograph(
        "11:40",
        TAM,
        BoardsBeingLaid(shape=MAIN_SHAPE, progress=0.55),
        "Boards going down across the joists, joints staggered",
        About(area=MAIN, check="deck.joints_staggered"),
    )
    diary.photograph(
        "14:10",
        TAM,
        BoardsBeingLaid(shape=PORCH_SHAPE, side=2, progress=0.8),
        "Last run going in",
        About(area=PORCH),
    )
    diary.write(
        "14:32", TAM, Usage(stage=Stage.DECK, area=MAIN, lot=BOARDS, used=21, unit=Unit.PIECE)
    )
    diary.write(
        "14:33", TAM, Usage(stage=Stage.DECK, area=PORCH, lot=BOARDS, used=4, unit=Unit.PIECE)
    )


def _measure_main(diary: Diary) -> None:
    for check in _SEEN[:3]:
        observe(diary, "14:38", NELL, check, area=MAIN)
    for check in _SEEN[3:]:
        observe(diary, "14:39", NELL, check, area=MAIN)
    _measure_boards(diary, "14:43", "14:46", MAIN, centres_mm=MAIN_CENTRES_MM, shortest_mm=615)
    diary.photograph(
        "14:50",
        NELL,
        FixingPattern(centres_mm=MAIN_CENTRES_MM),
        "Nails at 190, tape along the joist line",
        About(area=MAIN, check="deck.fixing_centres"),
    )
    measure(
        diary, "14:55", NELL, "deck.expansion_gap", MAIN_GAP_MM, "mm", area=MAIN, instrument=TAPE
    )
    diary.photograph(
        "14:56",
        NELL,
        WallGap(gap_mm=MAIN_GAP_MM),
        "26 mm at the kitchen wall",
        About(area=MAIN, check="deck.expansion_gap"),
    )
    measure(
        diary, "15:02", NELL, "deck.moisture", MAIN_MOISTURE_PCT, "%", area=MAIN,
        instrument=MOISTURE,
    )  # fmt: skip
    diary.photograph(
        "15:03",
        NELL,
        MoistureMeter(moisture_pct=MAIN_MOISTURE_PCT),
        "Meter reads 13.8",
        About(area=MAIN, check="deck.moisture"),
    )


def _measure_porch(diary: Diary) -> None:
    for check in _SEEN[:3]:
        observe(diary, "15:20", TAM, check, area=PORCH)
    for check in _SEEN[3:]:
        observe(diary, "15:21", TAM, check, area=PORCH)
    _measure_boards(diary, "15:25", "15:28", PORCH, centres_mm=PORCH_CENTRES_MM, shortest_mm=450)
    diary.photograph(
        "15:31",
        TAM,
        FixingPattern(centres_mm=PORCH_CENTRES_MM),
        "Nails at 200",
        About(area=PORCH, check="deck.fixing_centres"),
    )
    measure(
        diary, "15:36", TAM, "deck.moisture", PORCH_MOISTURE_PCT, "%", area=PORCH,
        instrument=MOISTURE,
    )  # fmt: skip


def _measure_boards(
    diary: Diary, first: str, then: str, area: str, *, centres_mm: float, shortest_mm: float
) -> None:
    by = NELL if area == MAIN else TAM
    measure(diary, first, by, "deck.board_thickness", 18, "mm", area=area, instrument=TAPE)
    measure(diary, first, by, "deck.fixing_centres", centres_mm, "mm", area=area, instrument=TAPE)
    measure(diary, first, by, "deck.fixings_across_board", 4, "1", area=area)
    measure(diary, then, by, "deck.fixing_penetration", 47, "mm", area=area, instrument=TAPE)
    measure(diary, then, by, "deck.offcut_length", shortest_mm, "mm", area=area, instrument=TAPE)
    measure(diary, then, by, "deck.offcut_joists", 2, "1", area=area)


def _decide_on_the_gap(diary: Diary) -> None:
    narrow = measure(
        diary, "15:41", TAM, "deck.expansion_gap", PORCH_GAP_MM, "mm", area=PORCH, instrument=TAPE
    )
    diary.write(
        "15:52",
        TAM,
        Nonconformity(
            number=NARROW_GAP,
            stage=Stage.DECK,
            check="deck.expansion_gap",
            area=PORCH,
            description="Gap between boards and porch wall is 18 mm; 20 mm is the least.",
        ),
    )
    photo = diary.photograph(
        "15:54",
        TAM,
        WallGap(gap_mm=PORCH_GAP_MM),
        "18 mm at the wall, tape on it",
        About(area=PORCH, check="deck.expansion_gap", nonconformity=NARROW_GAP),
    )
    diary.write(
        "16:06",
        ORLA,
        Disposition(
            nonconformity=NARROW_GAP,
            decision=DispositionDecision.CONCESSION,
            reason="The porch deck is under 2 m deep, so its boards can move 4 mm at most; 18 mm "
            "leaves room for that four times over. Cutting the last run back would cost its "
            "tongue.",
            authority="The client, shown the gap on site at 16:00 on 8 May, who agreed to it.",
            limit="The porch’s wall edge alone; the main roof keeps its 20 mm.",
        ),
    )
    diary.write(
        "16:09",
        ORLA,
        Closure(
            nonconformity=NARROW_GAP,
            statement="Accepted in writing, nothing to be done again.",
            entries=(narrow, photo),
        ),
    )
