"""The words of the trade that the pack cannot do without, each in a plain sentence."""

from __future__ import annotations

from dataclasses import dataclass

from qa.packs.chapters import Chapter
from qa.packs.source import PackSource
from qa.trade.notation import quantity_text


@dataclass(frozen=True, slots=True, kw_only=True)
class GlossaryContext:
    """What the chapter shows.

    Attributes:
        bay_length: about how long a bay is, with its unit.
    """

    bay_length: str


def glossary_chapter(source: PackSource) -> Chapter:
    """The chapter that explains the words."""
    bay_length = source.specification.figures.bay_length_m
    return Chapter(
        key="words",
        title="The words used",
        template="packs/handover/glossary.html",
        context=GlossaryContext(bay_length=quantity_text(bay_length.value, bay_length.unit)),
    )
