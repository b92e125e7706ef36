"""A job folder taken in whole: record, photos and the specification that the job pins."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Protocol

from qa.assess.fitting import require_fitting
from qa.errors import PhotoError, Problem, RecordError, SpecificationError
from qa.photos.facts import PhotoFacts
from qa.photos.intake import read_photo
from qa.record.entry import Entry
from qa.record.folder import JobFolder, read_folder
from qa.record.job import Job, fold
from qa.specification.loader import built_in_path, parse_specification, read_content
from qa.specification.model import Specification

Progress = Callable[[str, int, int], None]
"""Told what is being done, how much of it is done, and how much there is."""

Named = Callable[[JobFolder, str], tuple[bytes, Specification]]
"""From a folder and the name that its job pins to the specification's file and its value."""


class Look(Protocol):
    """A way of looking at an original: its facts, or a `PhotoError`."""

    def __call__(self, path: Path, *, name: str) -> PhotoFacts:
        """The facts of the photo at `path`, which the record calls `name`."""


_READERS = 2

GENERAL = "general-grp/1"
"""The specification where nothing names one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedJob:
    """A job folder that was read, checked and folded.

    Attributes:
        photos: facts of every original that is there, by its name in the record.
        specification_bytes: the specification's file as it stands.
    """

    folder: JobFolder
    job: Job
    specification: Specification
    specification_bytes: bytes
    photos: Mapping[str, PhotoFacts]


def load_job(
    path: Path,
    *,
    named: Named,
    look: Look = read_photo,
    progress: Progress | None = None,
) -> LoadedJob:
    """A job folder, whole.

    Args:
        path: the folder.
        named: where the specification that the job pins is found.
        look: how deep to look at each photo: `read_photo` decodes it whole, `read_facts` trusts
            its header, for whoever has every picture decoded afterwards.
        progress: told how many photos have been looked at.

    Raises:
        RecordError: with every fault of the record or its photos.
        SpecificationError: the specification cannot be read, or is not known.
    """
    with without_collecting():
        folder = read_folder(path)
        job = fold(folder.record)
        pinned = job.opening.body.specification
        content, loaded = named(folder, pinned)
        require_fitting(job, loaded)
    return LoadedJob(
        folder=folder,
        job=job,
        specification=loaded,
        specification_bytes=content,
        photos=_look_at_photos(folder, job, look, progress),
    )


@contextmanager
def without_collecting() -> Iterator[None]:
    """Keeps the cycle collector from walking a growing record again and again.

    Records hold no cycles; with the collector on, the time for each entry grows with their number.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def named_specification(pinned: str, given: Path | None = None) -> tuple[bytes, Specification]:
    """The bytes and the value of the specification that a job pins.

    Args:
        pinned: its name and version.
        given: its file; None for a built-in one.

    Raises:
        SpecificationError: the specification cannot be read, or is not built in.
    """
    try:
        path = built_in_path(pinned) if given is None else given
    except SpecificationError as error:
        problem = Problem(
            place=f"specification “{pinned}”",
            sentence="the job pins it and it is not built in; give its file with --specification, "
            "or put it into the folder as specification.toml.",
        )
        raise SpecificationError((problem,)) from error
    content = read_content(path)
    return content, parse_specification(content, file=path.name)


def _look_at_photos(
    folder: JobFolder, job: Job, look: Look, progress: Progress | None
) -> dict[str, PhotoFacts]:
    """The facts of every original, or a `RecordError` that names all that are no photos."""
    lines = {photo.body.file: photo for photo in reversed(job.photos)}
    facts: dict[str, PhotoFacts] = {}
    problems: list[Problem] = []
    with ThreadPoolExecutor(_READERS) as pool:
        looked = pool.map(partial(_look_at, look), folder.photos)
        for done, (name, found) in enumerate(looked, start=1):
            entry = lines[name].entry if name in lines else None
            told = lines[name].body.sha256 if name in lines else None
            if isinstance(found, PhotoError):
                problems.append(_problem(entry, str(found)))
            elif told is not None and told != found.sha256:
                problems.append(_problem(entry, _changed(name, told, found.sha256)))
            else:
                facts[name] = found
            if progress is not None:
                progress("looking at the photos", done, len(folder.photos))
    if problems:
        raise RecordError(tuple(problems))
    return facts


def _look_at(look: Look, photo: tuple[str, Path]) -> tuple[str, PhotoFacts | PhotoError]:
    name, path = photo
    try:
        return name, look(path, name=name)
    except PhotoError as error:
        return name, error


def _changed(name: str, told: str, found: str) -> str:
    return (
        f"{name} is not the photo of the record: its SHA-256 is {found}, the record says {told}. "
        "Put the original back."
    )


def _problem(entry: Entry | None, sentence: str) -> Problem:
    line = entry.line if entry else None
    place = f"record.jsonl, line {line}" if line else "record.jsonl"
    return Problem(place=place, sentence=sentence, line=line, field="photo.file")
