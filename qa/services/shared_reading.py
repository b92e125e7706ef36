"""What a link lets its holder read: the job, its photographs, its newest pack, its folder.

The link says whose job it is; nobody of the firm acts here. Where it shows no personal values, the
record is read without them, just as whoever has its folder without `personal.jsonl` reads it.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import BinaryIO

from qa.errors import NotFoundError, RecordError
from qa.packs.source import PackPhoto, PackSource
from qa.photos.facts import PhotoFacts
from qa.photos.intake import read_facts
from qa.photos.renditions import Original, RenditionCache, Size
from qa.record.chain import head_of
from qa.record.folder import record_text
from qa.record.job import Job, fold
from qa.record.kinds.marks import Annotation
from qa.record.marked import drawn_upon, marks_query
from qa.record.reading import Record, read_record
from qa.services.folder_zip import write_zip
from qa.services.installation import Installation
from qa.services.linking import OpenLink
from qa.services.marked_copies import marked_copy
from qa.services.packing import PROGRAM, PackKind
from qa.services.reading import ReadJob, read_any_job
from qa.store import papers
from qa.store.ledger import lines_from
from qa.store.originals import shown_original, shown_originals
from qa.store.papers import MadePack

_KEPT_JOBS = 16
_KEPT_FACTS = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainCheck:
    """What came of checking a record's chain anew, from the rows of the database.

    Attributes:
        entries: how many were read.
        head: hash of the last one, as it was reckoned now.
        faults: where it does not hold; empty where it does.
    """

    entries: int
    head: str
    faults: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether every entry hashes to its own hash and names the one before it."""
        return not self.faults


def read_shared_job(installation: Installation, link: OpenLink) -> ReadJob:
    """The job of a link, with personal values or without them, as the link says."""
    read = read_any_job(installation, firm_id=link.firm_id, job_id=link.job_id)
    return read if link.shows_personal else _WITHHELD.of(read)


def check_chain(installation: Installation, link: OpenLink) -> ChainCheck:
    """Reads every entry from the database again and reckons every hash anew.

    Nothing is taken from memory. Personal values play no part: the chain covers their digests.
    """
    with installation.store.reading() as session:
        lines = list(lines_from(session, job_id=link.job_id, seq=0))
    try:
        record = read_record("\n".join(lines))
    except RecordError as error:
        faults = tuple(f"{one.place}: {one.sentence}" for one in error.problems)
        return ChainCheck(entries=len(lines), head="", faults=faults)
    return ChainCheck(entries=len(record.entries), head=head_of(record.entries), faults=())


def shared_original(installation: Installation, link: OpenLink, sha256: str) -> Path:
    """The file of an original that the link's job shows.

    Raises:
        NotFoundError: the job shows none of that digest, or it was erased.
    """
    with installation.store.reading() as session:
        shown = shown_original(session, sha256, firm_id=link.firm_id, job_id=link.job_id)
    if shown is None:
        raise NotFoundError("This job shows no such photograph, or it was erased.")
    return installation.originals.path(sha256)


def shared_copy(installation: Installation, link: OpenLink, sha256: str, size: Size) -> Path:
    """A fresh JPEG of such an original, with nothing in it but the picture.

    Raises:
        NotFoundError: as `shared_original`.
    """
    path = shared_original(installation, link, sha256)
    return clean_copy(installation, Original(name=sha256, path=path, sha256=sha256), size)


def shared_marked_copy(installation: Installation, link: OpenLink, sha256: str, size: Size) -> Path:
    """As `shared_copy`, with the marks upon it that the job has in force.

    Raises:
        NotFoundError: as `shared_original`.
    """
    path = shared_original(installation, link, sha256)
    job = read_shared_job(installation, link).job
    return marked_copy(installation, job, Original(name=sha256, path=path, sha256=sha256), size)


def clean_copy(installation: Installation, photo: Original, size: Size) -> Path:
    """The clean copy of an original, made now if it is not there yet."""
    cache = RenditionCache(installation.settings.renditions)
    return cache.ensure([photo], sizes=(size,))[0].path


def pack_source_of(installation: Installation, link: OpenLink, read: ReadJob) -> PackSource:
    """What the pages of a pack are made from; each photograph stands under “photos/<sha256>”."""
    with installation.store.reading() as session:
        shown = shown_originals(session, firm_id=link.firm_id, job_id=link.job_id)
    drawn = drawn_upon(read.job)
    return PackSource(
        record=read.record,
        job=read.job,
        specification=read.specification,
        specification_bytes=read.specification_bytes,
        assessment=read.assessment,
        photos={
            name: _photo(installation.originals.path(sha256), sha256, name, drawn.get(sha256, ()))
            for name, sha256 in shown
            if installation.originals.exists(sha256)
        },
        program=PROGRAM,
    )


def newest_handover_pack(installation: Installation, link: OpenLink) -> MadePack | None:
    """The newest handover pack that was made of the link's job, or None."""
    with installation.store.reading() as session:
        made = papers.packs_of_job(session, firm_id=link.firm_id, job_id=link.job_id)
    return next((one for one in made if one.kind == PackKind.HANDOVER and one.is_made), None)


def write_shared_folder(
    installation: Installation, link: OpenLink, out: BinaryIO, *, with_personal: bool
) -> str:
    """Writes the link's job folder as a zip and answers the folder's name.

    Raises:
        NotFoundError: personal values are asked for and the link does not show them.
    """
    if with_personal and not link.shows_personal:
        raise NotFoundError("This link does not show names and addresses.")
    read = read_any_job(installation, firm_id=link.firm_id, job_id=link.job_id)
    record = read.record if with_personal else replace(read.record, disclosures=())
    return write_zip(installation, read, record, out)


class _WithheldJobs:
    """Jobs read without personal values, the last few by the head of their record."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._jobs: OrderedDict[tuple[str, str], tuple[Record, Job]] = OrderedDict()

    def of(self, read: ReadJob) -> ReadJob:
        """The job without its personal values."""
        key = (read.id, read.job.head)
        with self._lock:
            kept = self._jobs.get(key)
        if kept is None:
            record = read_record(record_text(read.record.entries))
            kept = (record, fold(record))
            with self._lock:
                self._jobs[key] = kept
                while len(self._jobs) > _KEPT_JOBS:
                    self._jobs.popitem(last=False)
        return replace(read, record=kept[0], job=kept[1])


_WITHHELD = _WithheldJobs()


@lru_cache(maxsize=_KEPT_FACTS)
def _facts(path: Path, name: str) -> PhotoFacts:
    """An original's facts; a file that is named by its digest has the same for ever."""
    return read_facts(path, name=name)


def _photo(path: Path, sha256: str, name: str, drawn: tuple[Annotation, ...]) -> PackPhoto:
    facts = _facts(path, name)
    return PackPhoto(
        file=name,
        sha256=sha256,
        print_copy=None,
        taken_at=facts.taken_at,
        camera=None,
        width_px=facts.width_px,
        height_px=facts.height_px,
        clock=None if facts.taken_at else facts.taken_at_naive,
        shown_at=f"photos/{sha256}/{Size.PRINT}{marks_query(drawn)}",
    )
