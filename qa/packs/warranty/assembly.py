"""The warranty file: its chapters in order, each from a context of its own."""

from __future__ import annotations

from qa.assess.lateness import TIMELY
from qa.packs.chapters import Chapter, Pack, compose
from qa.packs.rendering import Document
from qa.packs.source import PackSource
from qa.packs.warranty.basis import specification_used
from qa.packs.warranty.bays import bays
from qa.packs.warranty.citing import Citing
from qa.packs.warranty.conditions import conditions
from qa.packs.warranty.consumption import consumption
from qa.packs.warranty.cover import cover
from qa.packs.warranty.entries import entries
from qa.packs.warranty.events import SECTIONS as EVENT_SECTIONS
from qa.packs.warranty.events import events
from qa.packs.warranty.families import Family
from qa.packs.warranty.lots import lots
from qa.packs.warranty.mixes import mixes
from qa.packs.warranty.photographs import photographs
from qa.packs.warranty.proof import proof
from qa.packs.warranty.roof import roof
from qa.packs.warranty.stages import stages
from qa.packs.warranty.summary import summary
from qa.trade.notation import quantity_text

NUMERALS = {Family.MIX: 4, Family.CONDITIONS: 5, Family.BAY: 7}
"""The chapters to which the tables of stages point."""


def warranty_file(source: PackSource) -> Document:
    """The warranty file of a job, for a warranty desk and an expert."""
    return compose(warranty_pack(source), source)


def warranty_pack(source: PackSource) -> Pack:
    """The warranty file before it is composed."""
    citing = Citing(source)
    opening = source.job.opening.body
    return Pack(
        kind="Warranty file",
        title=f"Warranty file: {opening.title}",
        subject=f"Quality record of job {opening.job}, judged by {source.assessment.specification}",
        cover=_chapter("cover", "Cover", cover(source, citing)),
        before_contents=(_chapter("summary", "Summary of findings", summary(source, citing)),),
        chapters=(*_work(source, citing), *_evidence(source, citing)),
    )


def _work(source: PackSource, citing: Citing) -> tuple[Chapter, ...]:
    """The chapters on the roof and on what was done and found."""
    story = stages(source, citing, NUMERALS)
    by_area = bays(source, citing)
    return (
        _chapter("roof", "The roof", roof(source)),
        _chapter(
            "stages",
            "Stage by stage",
            story,
            tuple((stage.key, stage.title) for stage in story.stages),
        ),
        _chapter("mixes", "Mixes", mixes(source, citing)),
        _chapter("conditions", "Conditions over time", conditions(source, citing)),
        _chapter("consumption", "Consumption against expectation", consumption(source)),
        _chapter("bays", "Bays", by_area, tuple((area.key, area.name) for area in by_area.areas)),
        _chapter("lots", "Lots and their balance", lots(source, citing)),
    )


def _evidence(source: PackSource, citing: Citing) -> tuple[Chapter, ...]:
    """The chapters on what the record is and rests on."""
    late_h = source.specification.checks[TIMELY].limits.upper
    return (
        _chapter("events", "What came between", events(source, citing), EVENT_SECTIONS),
        _chapter("photographs", "Photographs", photographs(source, citing)),
        _chapter("entries", "All entries", entries(source, citing)),
        _chapter(
            "basis",
            "The specification",
            specification_used(source),
        ),
        _chapter(
            "proof",
            "What this file proves",
            proof(source, late_h=quantity_text(late_h or 0.0, "h")),
            (
                ("proof-not-shown", "What it does not show"),
                ("proof-check", "How to check it"),
                ("proof-certificate", "Form for a certificate"),
            ),
        ),
    )


def _chapter(
    key: str, title: str, context: object, sections: tuple[tuple[str, str], ...] = ()
) -> Chapter:
    return Chapter(
        key=key,
        title=title,
        template=f"packs/warranty/{key}.html",
        context=context,
        sections=sections,
    )
