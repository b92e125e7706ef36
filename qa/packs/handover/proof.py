"""What the record proves and what it does not, and what the roof was judged by."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from qa.assess.lateness import TIMELY
from qa.packs.chapters import Chapter
from qa.packs.handover import plain_words as plain
from qa.packs.source import PackSource
from qa.specification.model import Basis, Sourced, Specification
from qa.trade.conformity import Verdict

_STANDARD = re.compile(r"\b(?:BS(?: EN)?|EN|ISO|ASTM) [A-Z]?[0-9][0-9-]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofContext:
    """What the chapter shows.

    Attributes:
        head: hash of the record's last entry, in groups of eight.
        corrections: how many entries were corrected or taken back, in words.
        arrivals: what is known of when entries reached the record.
        photos: what is known of when photographs were taken.
        erased: what was erased, or nothing.
        specification: name, title and version.
        bases: how many checks rest on what, in words.
        standards: the published standards that its sources name.
    """

    entries: int
    head: str
    corrections: str
    arrivals: str
    photos: str
    erased: str
    has_personal_file: bool
    specification: str
    specification_title: str
    specification_digest: str
    note: str
    bases: str
    standards: str


def proof_chapter(source: PackSource) -> Chapter:
    """The chapter on what can be relied on."""
    specification = source.specification
    context = ProofContext(
        entries=source.assessment.entries,
        head=in_groups(source.assessment.head),
        corrections=_corrections(source),
        arrivals=_arrivals(source),
        photos=_photos(source),
        erased=_erased(source),
        has_personal_file=bool(source.record.disclosures),
        specification=specification.name,
        specification_title=specification.title,
        specification_digest=in_groups(specification.sha256),
        note=specification.note,
        bases=_bases(specification),
        standards=plain.listed(standards_named(specification)),
    )
    return Chapter(
        key="proof",
        title="What this record proves",
        template="packs/handover/proof.html",
        context=context,
        sections=(
            ("attached", "The files inside this document"),
            ("judged-by", "What the roof was judged by"),
        ),
    )


def in_groups(digest: str) -> str:
    """A digest in groups of eight, which people can compare.

    >>> in_groups("0123456789abcdef")
    '01234567 89abcdef'
    """
    return " ".join(digest[at : at + 8] for at in range(0, len(digest), 8))


def _corrections(source: PackSource) -> str:
    number = len(source.job.corrections)
    if not number:
        return "No entry was corrected later."
    was = "was" if number == 1 else "were"
    times = plain.sentence_case(plain.counted(number, "correction"))
    return f"{times} {was} made later. What stood there before is still in the record."


def _arrivals(source: PackSource) -> str:
    if not source.record.is_sealed:
        return (
            "This record does not say when its entries were sent in, so it cannot show whether "
            "they were written on the spot."
        )
    late = sum(
        found.check == TIMELY and found.verdict is Verdict.OUTSIDE
        for found in source.assessment.findings
    )
    if not late:
        return "Every entry was sent in soon after the work that it tells of."
    came = plain.sentence_case(plain.counted(late, "entry", "entries"))
    return f"{came} came late; chapter 1 names {'it' if late == 1 else 'them'}."


def _photos(source: PackSource) -> str:
    photos = source.job.photos
    if not photos:
        return "There are no photographs in this record."
    kept = [source.photos.get(photo.body.file) for photo in photos]
    timed = sum(photo is not None and photo.has_camera_time for photo in kept)
    total = plain.counted(len(photos), "photograph")
    return (
        f"The record holds {total}. The camera itself noted a time in "
        f"{plain.number_word(timed) if timed else 'none'} of them; the other times were written "
        "down by people."
        if timed < len(photos)
        else f"The record holds {total}, and the camera itself noted the time in each."
    )


def _erased(source: PackSource) -> str:
    number = len(source.job.erasures)
    if not number:
        return ""
    times = plain.counted(number, "time")
    return f"Names or pictures were erased {times} at somebody’s wish; the rest still holds."


def _bases(specification: Specification) -> str:
    counts = Counter(check.basis for check in specification.checks.values())
    return (
        f"Of its {counts.total()} checks, {counts[Basis.PUBLISHED]} rest on published sources, "
        f"{counts[Basis.COMMON_PRACTICE]} on common practice of the trade for which there is no "
        f"published source, and {counts[Basis.PROJECT_CHOICE]} were chosen by those who wrote it"
    )


def standards_named(specification: Specification) -> list[str]:
    """The standards that the sources of a specification name, each once, by name."""
    named = {
        name
        for sourced in _sourced(specification)
        if sourced.basis is Basis.PUBLISHED
        for name in _STANDARD.findall(sourced.source)
    }
    return sorted(named)


def _sourced(specification: Specification) -> Iterator[Sourced]:
    yield from specification.checks.values()
    yield specification.resin_dose
    yield specification.topcoat_dose
    yield specification.gel_time
