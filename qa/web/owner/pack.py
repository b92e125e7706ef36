"""The handover pack as a page and as a PDF, and its photographs as fresh copies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import Response, request, url_for
from markupsafe import Markup

from qa.errors import NotFoundError
from qa.packs.chapters import Chapter
from qa.packs.handover import handover_chapters
from qa.packs.handover.cover import CoverContext
from qa.photos.renditions import Size
from qa.record.marked import MARKS
from qa.services.folder_zip import folder_name
from qa.services.linking import Face, OpenLink
from qa.services.reading import ReadJob
from qa.services.shared_reading import (
    newest_handover_pack,
    pack_source_of,
    read_shared_job,
    shared_copy,
    shared_marked_copy,
)
from qa.texts.saying import say
from qa.web.dates import moment_text
from qa.web.frame import house, render_page
from qa.web.owner.on_screen import drawn_on_screen, on_screen
from qa.web.owner.routing import blueprint
from qa.web.shared_links import FaceTop, opened, sent_file

_OF_THE_PDF = "proof"
"""A chapter that tells of the files inside the PDF; on the page it has words of its own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartView:
    """One chapter on the page.

    Attributes:
        key: its id on the page.
        number: as in the PDF.
        html: its matter; nothing where the page has its own words for it.
        context: what the page's own words are filled with, or None.
    """

    key: str
    number: int
    title: str
    html: Markup
    context: object


@dataclass(frozen=True, slots=True, kw_only=True)
class PdfView:
    """The PDF that was made last.

    Attributes:
        made: when, in words.
        digest: its SHA-256.
        is_current: whether the record has not grown since.
    """

    address: str
    made: str
    size: str
    digest: str
    is_current: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPage:
    """The page.

    Attributes:
        plan: the roof to scale.
        pdf: None where none was made yet, or none since something was erased.
        erased: the day on which something was last erased, or nothing.
        until: until when the link works.
    """

    top: FaceTop
    cover: CoverContext
    plan: Markup
    parts: tuple[PartView, ...]
    pdf: PdfView | None
    erased: str
    care: str
    report: str
    log: str
    until: str


@blueprint.get("/h/<owner_token>/", endpoint="pack")
def show_pack(owner_token: str) -> str:
    """The pack, newest state of the record."""
    link = opened(Face.HOMEOWNER, owner_token)
    read = read_shared_job(house(), link)
    pack = handover_chapters(pack_source_of(house(), link, read))
    cover = pack.cover.context
    assert isinstance(cover, CoverContext)
    here: dict[str, Any] = {"owner_token": owner_token}
    page = PackPage(
        top=owner_top(read, owner_token),
        cover=cover,
        plan=Markup(drawn_on_screen(str(cover.plan))),  # noqa: S704 - our own drawing
        parts=tuple(
            _part(number, chapter)
            for number, chapter in enumerate((*pack.before_contents, *pack.chapters), 1)
        ),
        pdf=_pdf(link, read, owner_token),
        erased=_last_erased(read),
        care=url_for("owner.calendar", **here),
        report=url_for("owner.report", **here),
        log=url_for("owner.inspections", **here),
        until=moment_text(link.expires_at, read.job.time_zone).partition(",")[0],
    )
    return render_page("owner/pack.html", page)


@blueprint.get("/h/<owner_token>/pack.pdf", endpoint="pdf")
def send_pdf(owner_token: str) -> Response:
    """The PDF of the newest handover pack that was made."""
    link = opened(Face.HOMEOWNER, owner_token)
    made = newest_handover_pack(house(), link)
    if made is None or made.sha256 is None:
        raise NotFoundError(say("The firm has not made the PDF yet. The page tells you the same."))
    reference = folder_name(read_shared_job(house(), link).job.reference)
    return sent_file(
        house().papers.path(made.sha256),
        media_type="application/pdf",
        etag=made.sha256,
        name=f"{reference}-handover-{made.number}.pdf",
    )


@blueprint.get("/h/<owner_token>/photos/<sha256>/<size>", endpoint="photo")
def send_photo(owner_token: str, sha256: str, size: str) -> Response:
    """A copy of a photograph with nothing in it but the picture; an original is never sent."""
    link = opened(Face.HOMEOWNER, owner_token)
    if size not in {one.value for one in Size}:
        raise NotFoundError(say("A photograph has no such size."))
    copy = shared_marked_copy if MARKS in request.args else shared_copy
    path = copy(house(), link, sha256, Size(size))
    return sent_file(path, media_type="image/jpeg", etag=path.stem)


def owner_top(read: ReadJob, token: str) -> FaceTop:
    """The top of every page of the homeowner's side."""
    return FaceTop(
        home=url_for("owner.pack", owner_token=token),
        firm=read.job.opening.body.firm.name,
        reference=read.job.reference,
        title=read.job.opening.body.title,
    )


def _part(number: int, chapter: Chapter) -> PartView:
    is_own = chapter.key == _OF_THE_PDF
    return PartView(
        key=chapter.key,
        number=number,
        title=chapter.title,
        html=Markup("") if is_own else on_screen(chapter),
        context=chapter.context if is_own else None,
    )


def _last_erased(read: ReadJob) -> str:
    erasures = read.job.erasures
    if not erasures:
        return ""
    return moment_text(erasures[-1].entry.received_at or erasures[-1].at, read.job.time_zone)


def _pdf(link: OpenLink, read: ReadJob, token: str) -> PdfView | None:
    made = newest_handover_pack(house(), link)
    if made is None or made.made_at is None:
        return None
    return PdfView(
        address=url_for("owner.pdf", owner_token=token),
        made=moment_text(made.made_at, read.job.time_zone),
        size=f"{(made.bytes or 0) / 1024**2:.1f} MB",
        digest=made.sha256 or "",
        is_current=made.head == read.job.head,
    )
