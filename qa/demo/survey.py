"""Thursday and early Friday: the old roof, measured, stripped and looked into."""

from __future__ import annotations

from qa.demo.calendar import DECK_DAY, NELL, ORLA, SURVEY_DAY, TAM
from qa.demo.diary import About, Diary
from qa.demo.opening import AREAS, MAIN, MAIN_SHAPE, PORCH, PORCH_SHAPE
from qa.demo.readings import measure, observe, sign_off
from qa.demo.supplies import LEVEL, TAPE
from qa.photos.drawn import OldCovering, OpenJoists, Weather
from qa.record.kinds.papers import Note
from qa.record.kinds.readings import Result
from qa.trade.vocabulary import Stage


def survey_the_old_roof(diary: Diary) -> None:
    """Thursday: photographs and levels of the old roof."""
    diary.day, diary.stage, diary.weather = SURVEY_DAY, Stage.SURVEY, Weather.OVERCAST
    diary.photograph(
        "09:20",
        ORLA,
        OldCovering(shape=MAIN_SHAPE),
        "Before work, from the garden: old felt, blistered, patched",
        About(area=MAIN),
    )
    diary.photograph(
        "09:26",
        ORLA,
        OldCovering(shape=PORCH_SHAPE, side=2),
        "Before work, from the path",
        About(area=PORCH),
    )
    seen = {
        MAIN: "Nothing runs back; the old felt dishes by 2 mm before the outlet.",
        PORCH: None,
    }
    for area, fall, clock in ((MAIN, 17.4, "09:35"), (PORCH, 17.5, "09:44")):
        measure(diary, clock, ORLA, "survey.fall", fall, "mm/m", area=area, instrument=LEVEL)
        observe(
            diary, clock, ORLA, "survey.back_fall", area=area, result=Result.NO, note=seen[area]
        )
    diary.write(
        "09:52",
        ORLA,
        Note(
            stage=Stage.SURVEY,
            text="The client says the kitchen ceiling had a stain last winter.",
        ),
    )


def open_the_roof(diary: Diary) -> None:
    """Friday until ten: felt and old boards off, joists looked at one by one."""
    diary.day, diary.stage, diary.weather = DECK_DAY, Stage.SURVEY, Weather.OVERCAST
    diary.photograph(
        "09:32",
        TAM,
        OpenJoists(shape=MAIN_SHAPE, side=1, centres_mm=400),
        "Stripped: joists open and dry, noggins at mid-span",
        About(area=MAIN),
    )
    notes = {
        MAIN: "Warm roof: insulation and vapour control layer kept, no tears found.",
        PORCH: "Cold roof: 50 mm of air kept over the quilt, vents clear.",
    }
    for area, clock in zip(AREAS, ("09:43", "09:48"), strict=True):
        measure(diary, clock, NELL, "survey.joist_centres", 400, "mm", area=area, instrument=TAPE)
        observe(diary, clock, NELL, "survey.joists_sound", area=area)
        observe(diary, clock, NELL, "survey.ventilation", area=area, note=notes[area])
        observe(diary, clock, NELL, "survey.walls_and_gutters", area=area)
    sign_off(diary, "09:56", "Joists sound, falls measured, chase and gutter ready for boards.")
