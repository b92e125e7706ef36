"""The whole story in its order."""

from __future__ import annotations

from qa.demo.bandage import bandage_the_joints
from qa.demo.completion import finish_the_job
from qa.demo.deck import board_the_roof
from qa.demo.diary import Diary, Script
from qa.demo.edge_trims import trim_the_edges
from qa.demo.main_afternoon import laminate_after_the_rain
from qa.demo.main_morning import laminate_until_the_rain
from qa.demo.opening import open_the_job
from qa.demo.porch import laminate_the_porch
from qa.demo.supplies import list_the_instruments, take_the_delivery
from qa.demo.survey import open_the_roof, survey_the_old_roof
from qa.demo.topcoat import coat_the_roof

_CHAPTERS = (
    open_the_job,
    list_the_instruments,
    survey_the_old_roof,
    take_the_delivery,
    open_the_roof,
    board_the_roof,
    trim_the_edges,
    bandage_the_joints,
    laminate_the_porch,
    laminate_until_the_rain,
    laminate_after_the_rain,
    coat_the_roof,
    finish_the_job,
)


def demo_script() -> Script:
    """The demonstration job as its crew wrote it down."""
    diary = Diary()
    for chapter in _CHAPTERS:
        chapter(diary)
    return diary.script()
