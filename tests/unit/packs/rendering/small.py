"""Documents of a few lines, for tests of one thing each."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pikepdf
from PIL import Image

from qa.packs.rendering import Attachment, Document, render_pdf

DATED = datetime(2026, 5, 14, 9, 30, tzinfo=UTC)


def document(
    body: str,
    *,
    style: str = "",
    photos: Mapping[str, Path] | None = None,
    attachments: tuple[Attachment, ...] = (),
) -> Document:
    """A document with the given body, set in the style sheet of the packs."""
    head = f'<title>Small</title><link rel="stylesheet" href="pack:style/pack.css">{style}'
    return Document(
        html=f'<!DOCTYPE html><html lang="en-GB"><head>{head}</head><body>{body}</body></html>',
        title="A small document",
        author="Sample Roofing (invented)",
        subject="One thing at a time",
        dated=DATED,
        photos=photos or {},
        attachments=attachments,
    )


def opened(body: str, **options: object) -> pikepdf.Pdf:
    """The rendered document, opened for reading."""
    return pikepdf.open(BytesIO(render_pdf(document(body, **options))))  # type: ignore[arg-type]


def jpeg(path: Path, *, mode: str = "RGB", exif: bool = False) -> Path:
    """A small JPEG, clean unless asked otherwise."""
    picture = Image.effect_noise((120, 90), 60).convert(mode)
    marks = Image.Exif()
    marks[0x0110] = "A camera"
    picture.save(path, "JPEG", quality=88, **({"exif": marks} if exif else {}))
    return path


def elements(pdf: pikepdf.Pdf) -> list[tuple[str, pikepdf.Object]]:
    """Every structure element as (type, element), in the order of reading."""
    return _below(pdf.Root.StructTreeRoot)


def _below(node: pikepdf.Object) -> list[tuple[str, pikepdf.Object]]:
    found = []
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            found.append((str(kid.S)[1:], kid))
            found.extend(_below(kid))
    return found


def kinds(pdf: pikepdf.Pdf) -> list[str]:
    """The types of every structure element in the order of reading."""
    return [kind for kind, _ in elements(pdf)]
