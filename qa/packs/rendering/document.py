"""What is rendered: one complete page of HTML, what it shows and what it carries. Values only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from qa.errors import PackError

RELATIONSHIPS = frozenset({"Source", "Data", "Alternative", "Supplement", "Unspecified"})
"""How an attachment may stand to its document: ISO 19005-3, 6.8 and ISO 32000-2, table 43."""

_DIGEST = re.compile(r"[0-9a-f]{64}")
_MEDIA_TYPE = re.compile(r"[a-z0-9][a-z0-9.+-]*/[a-z0-9][a-z0-9.+-]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """One file that travels inside the PDF.

    Attributes:
        name: its file name, without a folder.
        content: its bytes.
        media_type: its media type, lower case, without parameters.
        description: one sentence for the reader who finds it.
        relationship: how it stands to the document, one of `RELATIONSHIPS`.
    """

    name: str
    content: bytes
    media_type: str
    description: str
    relationship: str = "Data"

    def __post_init__(self) -> None:
        if not self.name or "/" in self.name or "\\" in self.name:
            raise PackError(f"The attachment is named “{self.name}”; give a file name, no folder.")
        if not _MEDIA_TYPE.fullmatch(self.media_type):
            raise PackError(
                f"The attachment {self.name} has the media type “{self.media_type}”; "
                "give a type and a subtype such as application/json."
            )
        if self.relationship not in RELATIONSHIPS:
            raise PackError(
                f"The attachment {self.name} has the relationship “{self.relationship}”; "
                f"choose one of {', '.join(sorted(RELATIONSHIPS))}."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """One pack before it is rendered.

    Attributes:
        html: the complete page; it addresses photographs as `pack:photo/SHA256`, faces as
            `pack:font/NAME` and style sheets as `pack:style/NAME`, and nothing else is fetched.
        title: the document's title, shown by readers in place of the file name.
        author: who issues it.
        subject: what it is about, one sentence.
        language: BCP 47 tag of its language.
        dated: the one date of the document and of all that it carries; whole seconds of UTC.
        attachments: the files that travel inside it; names and contents all differ.
        photos: print copy (a JPEG without metadata) by the SHA-256 that the page names it by.
    """

    html: str
    title: str
    author: str
    subject: str
    language: str = "en-GB"
    dated: datetime
    attachments: tuple[Attachment, ...] = ()
    photos: Mapping[str, Path] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise PackError("The document has no title; a PDF that all can read needs one.")
        if self.dated.utcoffset() != timedelta(0):
            raise PackError(f"The document is dated {self.dated.isoformat()}; give a time in UTC.")
        object.__setattr__(self, "dated", self.dated.astimezone(UTC).replace(microsecond=0))
        self._refuse_twins()
        for digest in self.photos:
            if not _DIGEST.fullmatch(digest):
                raise PackError(f"A photograph is named “{digest}”; give 64 hexadecimal places.")

    def _refuse_twins(self) -> None:
        # Two attachments of equal bytes would share one relationship, the last one's.
        names = {attachment.name for attachment in self.attachments}
        contents = {attachment.content for attachment in self.attachments}
        if len(names) < len(self.attachments) or len(contents) < len(self.attachments):
            raise PackError(
                "Two attachments have one name or the same bytes; leave one of them out."
            )
