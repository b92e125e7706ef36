"""Runs WeasyPrint over one document and finishes what comes out of it.

The only module that calls WeasyPrint's pipeline. It uses two hooks that are not public, so
WeasyPrint and pydyf are pinned, and `tests/unit/packs/rendering/test_engine.py` holds what is
assumed of them:

1. `weasyprint.pdf.Stream`, the class of content streams, becomes one that marks artifacts;
2. `weasyprint.pdf.add_tags`, the builder of the structure tree, becomes our own.
"""

from __future__ import annotations

import gc
import logging
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import Any

import weasyprint
import weasyprint.pdf
from PIL import ImageFile
from weasyprint.css import ColorProfile
from weasyprint.pdf import generate_pdf

from qa import __version__
from qa.errors import PackError
from qa.packs.rendering import finishing
from qa.packs.rendering.characters import settable
from qa.packs.rendering.document import Attachment, Document
from qa.packs.rendering.faces import ShippedFaces
from qa.packs.rendering.fetcher import PackFetcher
from qa.packs.rendering.marking import MarkingStream, disown_furniture, outermost_links
from qa.packs.rendering.tagging import add_structure
from qa.packs.rendering.writing import PdfWriter

PRODUCER = f"WeasyPrint {weasyprint.VERSION}"
CREATOR = f"Laidtrue {__version__}"

Progress = Callable[[str], None]
"""Told each step's name when it begins: "laying out", "drawing", "writing"."""

_OPTIONS = {
    **weasyprint.DEFAULT_OPTIONS,
    "pdf_variant": "pdf/a-3a",
    "pdf_version": "1.7",
    "pdf_tags": True,
    "output_intent": "srgb",
}
_CANNOT = "The page cannot be set as it is written: {}."
_DRAWING = _OPTIONS | {"output_intent": None}
"""Without the intent, WeasyPrint does not open its profile once more and leave the file open."""

weasyprint.pdf.Stream = MarkingStream
weasyprint.pdf.add_tags = add_structure

# Importing WeasyPrint has Pillow load half a picture in silence, in the whole process.
ImageFile.LOAD_TRUNCATED_IMAGES = False


def render_pdf(document: Document, *, progress: Progress | None = None) -> bytes:
    """Render a document as PDF/A-3a and PDF/UA-1 at once; equal documents give equal bytes.

    Args:
        document: the page, what it shows and what it carries.
        progress: told each step when it begins.

    Returns:
        The bytes of the PDF file.

    Raises:
        PackError: the page asks for what is not its own, a photograph is no plain JPEG, a picture
            has no words, or WeasyPrint complained of the page or its style.
    """
    tell = progress or _silent
    fetcher = PackFetcher(document.photos)
    with _uncollected(), _complaints(fetcher), ShippedFaces() as faces:
        tell("laying out")
        pages = _lay_out(document, fetcher, faces)
        tell("drawing")
        pdf = _draw(pages, document)
        tell("writing")
        return PdfWriter().write(pdf)


def _lay_out(document: Document, fetcher: PackFetcher, faces: ShippedFaces) -> Any:
    page = weasyprint.HTML(string=settable(document.html), url_fetcher=fetcher)
    profiles = {"srgb": _srgb_profile()}
    pages = page.render(font_config=faces, color_profiles=profiles, **_OPTIONS)
    disown_furniture(each._page_box for each in pages.pages)  # noqa: SLF001 - no public way
    for each in pages.pages:
        each.links = outermost_links(each.links)
    return pages


def _draw(pages: Any, document: Document) -> Any:
    # The names of embedded files form a tree, which must be sorted.
    attachments = sorted(document.attachments, key=lambda attachment: attachment.name)
    pages.metadata.lang = document.language
    attached = [_attached(each, document) for each in attachments]
    pdf = generate_pdf(pages, None, 1, **_DRAWING | {"attachments": attached})
    finishing.set_metadata(pdf, document, producer=PRODUCER, creator=CREATOR)
    finishing.set_attachments(pdf, attachments)
    boxes = [each._page_box for each in pages.pages]  # noqa: SLF001
    finishing.set_page_labels(pdf, has_cover=boxes[0].page_type.name == "cover")
    finishing.describe_links(box for page in boxes for box in page.descendants())
    finishing.forbid_interpolation(pdf)
    finishing.open_with_bookmarks(pdf)
    return pdf


def _srgb_profile() -> Any:
    path = Path(weasyprint.pdf.__file__).with_name("sRGB2014.icc")
    primaries = (["r"], ["g"], ["b"])
    content = BytesIO(path.read_bytes())
    return ColorProfile(content, path.name, "relative-colorimetric", primaries)


def _attached(attachment: Attachment, document: Document) -> weasyprint.Attachment:
    return weasyprint.Attachment(
        string=attachment.content,
        name=attachment.name,
        description=attachment.description,
        created=document.dated,
        modified=document.dated,
        relationship=attachment.relationship,
    )


@contextmanager
def _complaints(fetcher: PackFetcher) -> Iterator[None]:
    """Raise what WeasyPrint would only log: a pack is right or it is not made."""
    ear = _Ear()
    logger = logging.getLogger("weasyprint")
    logger.addHandler(ear)
    try:
        yield
    except PackError:
        raise
    except OSError as error:
        sentence = f"A working file of the page cannot be written: {error.strerror}; make room."
        raise PackError(sentence) from error
    except Exception as error:
        # WeasyPrint's exceptions on a bad page are of many types, none of them documented.
        cause = fetcher.faults[0] if fetcher.faults else PackError(_CANNOT.format(error))
        raise cause from error
    finally:
        logger.removeHandler(ear)
    if fetcher.faults:
        raise fetcher.faults[0]
    if ear.heard:
        raise PackError(_CANNOT.format(ear.heard[0]))


@contextmanager
def _uncollected() -> Iterator[None]:
    """Leave garbage lie while a document is made, which saves a quarter of the time.

    A layout is some hundred thousand objects that all live to its end: the collector looks through
    them again and again and finds nothing. Documents made side by side in threads do no harm to
    each other: whoever found the collector at work sets it to work again.
    """
    was_at_work = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_at_work:
            gc.enable()


class _Ear(logging.Handler):
    """Hears the warnings and errors of its own thread; other threads render other documents."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self._thread = threading.get_ident()
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        if record.thread == self._thread:
            self.heard.append(record.getMessage())


def _silent(step: str) -> None:
    del step
