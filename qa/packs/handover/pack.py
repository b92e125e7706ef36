"""The handover pack: its chapters in the order in which a homeowner reads them."""

from __future__ import annotations

from qa.packs.chapters import Pack, compose
from qa.packs.handover.care import care_chapter, contact_chapter
from qa.packs.handover.cover import KIND, cover
from qa.packs.handover.glossary import glossary_chapter
from qa.packs.handover.materials import materials_chapter
from qa.packs.handover.outside import outside_chapter
from qa.packs.handover.proof import proof_chapter
from qa.packs.handover.story import story_chapter
from qa.packs.rendering import Document
from qa.packs.source import PackSource


def handover_pack(source: PackSource) -> Document:
    """The homeowner's pack: what was laid, what went wrong, how to look after it, whom to call.

    Args:
        source: the job, its assessment, its specification and its photographs.

    Returns:
        The document, ready to be rendered; the same source gives the same document.
    """
    return compose(handover_chapters(source), source)


def handover_chapters(source: PackSource) -> Pack:
    """The pack before it is set: its chapters with their contexts, for paper or for a page."""
    title = source.job.opening.body.title
    return Pack(
        kind=KIND,
        title=f"{KIND}: {title}",
        subject="What was laid on this roof, what was outside limits, and how to look after it",
        cover=cover(source),
        before_contents=(outside_chapter(source),),
        chapters=(
            story_chapter(source),
            materials_chapter(source),
            care_chapter(source),
            contact_chapter(source),
            proof_chapter(source),
            glossary_chapter(source),
        ),
    )
