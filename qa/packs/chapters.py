"""A pack as a list of chapters, each a template over its own context, composed into one page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from qa.assess.finding import assessment_text
from qa.packs.rendering import Attachment, Document
from qa.packs.source import PackSource
from qa.packs.templating import render
from qa.record.folder import disclosure_text, record_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One part of a pack that could be rendered and issued again alone.

    Attributes:
        key: its id on the page, the target of the contents.
        title: its heading.
        template: under `templates/`: "packs/warranty/mixes.html"; it gets the chapter's context
            as `c`.
        context: a frozen dataclass of plain values.
        sections: ids and titles of the second level in the contents.
    """

    key: str
    title: str
    template: str
    context: object
    sections: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """A pack before it is rendered.

    Attributes:
        kind: what it is called on the cover: "Warranty file".
        title: title of the document.
        subject: what it is about, one sentence.
        cover: template and context of the cover.
        before_contents: chapters that must come before the contents, so that nobody can miss them.
        chapters: all others, in order.
    """

    kind: str
    title: str
    subject: str
    cover: Chapter
    before_contents: tuple[Chapter, ...] = ()
    chapters: tuple[Chapter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rendered:
    """A chapter with its number and its HTML, as the skeleton places it."""

    key: str
    title: str
    numeral: str
    sections: tuple[tuple[str, str], ...]
    html: Markup


def compose(pack: Pack, source: PackSource) -> Document:
    """The document of a pack: one complete page with everything that travels inside it."""
    first = len(pack.before_contents) + 1
    html = render(
        "packs/_skeleton.html",
        title=pack.title,
        cover=_html(pack.cover),
        before_contents=_rendered(pack.before_contents, 1),
        chapters=_rendered(pack.chapters, first),
    )
    photos = {
        photo.sha256: photo.print_copy
        for photo in source.photos.values()
        if photo.print_copy is not None and photo.address is not None and photo.address in html
    }
    return Document(
        html=html,
        title=pack.title,
        author=source.job.opening.body.firm.name,
        subject=pack.subject,
        dated=source.dated,
        attachments=_attachments(source),
        photos=photos,
    )


def _html(chapter: Chapter) -> Markup:
    return Markup(render(chapter.template, c=chapter.context))


def _rendered(chapters: Sequence[Chapter], first: int) -> tuple[_Rendered, ...]:
    return tuple(
        _Rendered(
            key=chapter.key,
            title=chapter.title,
            numeral=str(number),
            sections=chapter.sections,
            html=_html(chapter),
        )
        for number, chapter in enumerate(chapters, first)
    )


def _attachments(source: PackSource) -> tuple[Attachment, ...]:
    """The record, what is disclosed with it, the assessment and the specification, as files."""
    files = [
        Attachment(
            name="record.jsonl",
            content=record_text(source.record.entries).encode(),
            media_type="application/jsonl",
            description="The record that this pack was made from, one entry a line",
        ),
        Attachment(
            name="assessment.json",
            content=assessment_text(source.assessment).encode(),
            media_type="application/json",
            description="The assessment that this pack prints",
        ),
        Attachment(
            name="specification.toml",
            content=source.specification_bytes,
            media_type="application/toml",
            description="The limits, charts and rates that the job was judged by",
        ),
    ]
    if source.record.disclosures:
        files.append(
            Attachment(
                name="personal.jsonl",
                content=disclosure_text(source.record.disclosures).encode(),
                media_type="application/jsonl",
                description="Personal values of the record, with the salts of their digests",
            )
        )
    return tuple(files)
