"""What a PDF by WeasyPrint lacks to be PDF/A-3a and PDF/UA-1 at once, the same bytes every time.

Each function mends one thing. All work on the objects of pydyf before they are written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import pydyf

from qa.packs.rendering.document import Attachment, Document
from qa.packs.rendering.metadata import xmp_packet


def set_metadata(pdf: Any, document: Document, *, producer: str, creator: str) -> None:
    """Write the document's facts into the XMP packet and, in the same words, the info object."""
    dated = pydyf.String(document.dated.strftime("D:%Y%m%d%H%M%SZ"))
    pdf.info.clear()
    pdf.info.update({
        "Title": pydyf.String(document.title),
        "Author": pydyf.String(document.author),
        "Subject": pydyf.String(document.subject),
        "Creator": pydyf.String(creator),
        "Producer": pydyf.String(producer),
        "CreationDate": dated,
        "ModDate": dated,
    })  # fmt: skip
    pdf.catalog["Lang"] = pydyf.String(document.language)
    packet = next(stream for stream in _streams(pdf) if stream.extra.get("Type") == "/Metadata")
    packet.stream = [xmp_packet(document, producer=producer, creator=creator)]
    packet.compress = False


def set_attachments(pdf: Any, attachments: Sequence[Attachment]) -> None:
    """Give each embedded file the media type and relationship it was given, and list it once.

    WeasyPrint guesses the type from the name and the machine's tables, and lists every file twice.
    """
    by_name = {attachment.name: attachment for attachment in attachments}
    specifications = [entry for entry in _dictionaries(pdf) if entry.get("Type") == "/Filespec"]
    for specification in specifications:
        attachment = by_name[specification["UF"].string]
        specification["AFRelationship"] = f"/{attachment.relationship}"
        stream = pdf.objects[int(specification["EF"]["F"].split()[0])]
        stream.extra["Subtype"] = pydyf.name(attachment.media_type)
    if specifications:
        pdf.catalog["AF"] = pydyf.Array([entry.reference for entry in specifications])


def set_page_labels(pdf: Any, *, has_cover: bool) -> None:
    """Label the pages as they are numbered in print, and the cover as the cover."""
    decimal = pydyf.Dictionary({"S": "/D"})
    numbers: list[object] = [0, decimal]
    if has_cover:
        cover = pydyf.Dictionary({"P": pydyf.String("Cover")})
        numbers = [0, cover, 1, pydyf.Dictionary({"S": "/D", "St": 2})]
    pdf.catalog["PageLabels"] = pydyf.Dictionary({"Nums": pydyf.Array(numbers)})


def describe_links(boxes: Iterator[Any]) -> None:
    """Say on each link annotation what a reader would read there, in place of a bare address."""
    for box in boxes:
        if box.link_annotation:
            words = " ".join("".join(box.element.itertext()).split())
            target = box.link_annotation["Contents"].string
            box.link_annotation["Contents"] = pydyf.String(
                box.element.get("title") or words or target
            )


def forbid_interpolation(pdf: Any) -> None:
    """Say that no picture is smoothed when enlarged, as PDF/A asks, whatever the style says."""
    for stream in _streams(pdf):
        if stream.extra.get("Subtype") == "/Image":
            stream.extra["Interpolate"] = "false"


def open_with_bookmarks(pdf: Any) -> None:
    """Have a reader show the bookmarks beside the first page, where there are any."""
    if "Outlines" in pdf.catalog:
        pdf.catalog["PageMode"] = "/UseOutlines"


def _streams(pdf: Any) -> Iterator[Any]:
    return (entry for entry in pdf.objects if isinstance(entry, pydyf.Stream))


def _dictionaries(pdf: Any) -> Iterator[Any]:
    return (entry for entry in pdf.objects if isinstance(entry, pydyf.Dictionary))
