"""What the file proves and what it does not, how to check it, and a form for an officer to sign."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from qa.assess.finding import assessment_text
from qa.packs.source import PackSource
from qa.record.folder import disclosure_text, record_text


@dataclass(frozen=True, slots=True, kw_only=True)
class AttachedFile:
    """A file that travels inside the PDF."""

    name: str
    bytes: int
    sha256: str
    holds: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What the chapter shows.

    Attributes:
        has_personal: whether personal values travel with the record.
    """

    is_sealed: bool
    has_personal: bool
    entries: int
    last: int
    head: str
    late_h: str
    files: tuple[AttachedFile, ...]
    firm: str
    job: str
    program: str


def proof(source: PackSource, *, late_h: str) -> Proof:
    """What the file proves.

    Args:
        source: the pack's source.
        late_h: how long an entry may take to arrive, with its unit.
    """
    count = len(source.job.entries)
    return Proof(
        is_sealed=source.record.is_sealed,
        has_personal=bool(source.record.disclosures),
        entries=count,
        last=count - 1,
        head=source.assessment.head,
        late_h=late_h,
        files=_files(source),
        firm=source.job.opening.body.firm.name,
        job=source.job.reference,
        program=source.program,
    )


def _files(source: PackSource) -> tuple[AttachedFile, ...]:
    record = record_text(source.record.entries).encode()
    assessment = assessment_text(source.assessment).encode()
    files = [
        _file("record.jsonl", record, "the record, one entry a line"),
        _file("assessment.json", assessment, "every finding as printed here"),
        _file("specification.toml", source.specification_bytes, "limits, charts and figures"),
    ]
    if source.record.disclosures:
        personal = disclosure_text(source.record.disclosures).encode()
        files.append(_file("personal.jsonl", personal, "personal values with their salts"))
    return tuple(files)


def _file(name: str, content: bytes, holds: str) -> AttachedFile:
    sha256 = hashlib.sha256(content).hexdigest()
    return AttachedFile(name=name, bytes=len(content), sha256=sha256, holds=holds)
