"""The names of the stages, one for each everywhere on the site."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from qa.texts.saying import to_say
from qa.trade.vocabulary import Stage

STAGE_NAMES: Mapping[Stage, str] = MappingProxyType(
    {
        Stage.SURVEY: to_say("Survey"),
        Stage.DECK: to_say("Deck"),
        Stage.TRIMS: to_say("Edge trims"),
        Stage.BANDAGE: to_say("Bandage"),
        Stage.LAMINATE: to_say("Laminate"),
        Stage.TOPCOAT: to_say("Topcoat"),
        Stage.COMPLETION: to_say("Completion"),
    }
)


def stage_name(stage: str) -> str:
    """The name of a stage, which is given by its key in the record."""
    return str(STAGE_NAMES[Stage(stage)])
