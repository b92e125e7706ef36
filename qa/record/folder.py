"""The job folder on disk: the one module of the record that touches files.

Reading takes everything in or nothing. Writing makes the whole folder under another name first and
renames it, so a folder that is there is complete.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from qa.errors import Problem, RecordError, UsageError
from qa.record.canonical import canonical_json
from qa.record.disclosure import Disclosure
from qa.record.entry import Entry
from qa.record.kinds.papers import Erasure, Photo
from qa.record.reading import (
    PERSONAL_FILE,
    RECORD_FILE,
    SPECIFICATION_FILE,
    Record,
    read_record,
)
from qa.record.schema import written as as_json

LARGEST_RECORD_BYTES = 1_000_000_000
LARGEST_SPECIFICATION_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFolder:
    """A job folder that was read.

    Attributes:
        path: the folder.
        record: its entries and disclosures.
        photos: name in the record and path of every original that is here, in the record's order;
            an erased one is absent.
        specification: the file of the version that the job pins, where the folder carries it.
    """

    path: Path
    record: Record
    photos: tuple[tuple[str, Path], ...]
    specification: bytes | None = None


def read_folder(path: Path) -> JobFolder:
    """A job folder, whole.

    Raises:
        RecordError: with every fault of its files: no folder, no record, not UTF-8, any faulty
            line, a photo that is named but not there.
    """
    if not path.is_dir():
        what = "is not a folder" if path.exists() else "does not exist"
        raise _refused(str(path), f"{what}; name a folder that holds {RECORD_FILE}.")
    personal = path / PERSONAL_FILE
    record = read_record(
        _read_text(path / RECORD_FILE), _read_text(personal) if personal.exists() else None
    )
    photos = tuple(_photo_files(path, record))
    return JobFolder(
        path=path,
        record=record,
        photos=photos,
        specification=_read_specification(path / SPECIFICATION_FILE),
    )


def write_folder(
    record: Record,
    photos: Iterable[tuple[str, Path]],
    path: Path,
    *,
    specification: bytes | None = None,
) -> None:
    """Writes a job folder: the exact inverse of `read_folder`.

    Args:
        record: the record to write.
        photos: name in the record and path of each original to copy.
        path: the folder to make; it must not exist.
        specification: the file of the version that the job pins, for the folder to carry.

    Raises:
        UsageError: the folder exists or cannot be written; nothing is left behind.
    """
    if path.exists():
        raise UsageError(
            f"{path} exists already; name a folder that does not, nothing was written."
        )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        making = Path(tempfile.mkdtemp(prefix=f".{path.name}-", dir=path.parent))
    except OSError as error:
        raise UsageError(
            f"{path} cannot be made: {error.strerror}; choose another place."
        ) from error
    try:
        _fill(making, record, photos)
        if specification is not None:
            _write_durably(making / SPECIFICATION_FILE, specification)
        making.chmod(0o755)
        making.rename(path)
    except OSError as error:
        raise UsageError(
            f"{path} cannot be written: {error.strerror}: {error.filename or path}; mend that, or "
            "choose another place. Nothing was left behind."
        ) from error
    finally:
        shutil.rmtree(making, ignore_errors=True)


def record_text(entries: Iterable[Entry]) -> str:
    """`record.jsonl` for these entries, each in canonical form on its own line."""
    return "".join(canonical_json(entry.written).decode() + "\n" for entry in entries)


def disclosure_text(disclosures: Iterable[Disclosure]) -> str:
    """`personal.jsonl` for these disclosures, each in canonical form on its own line."""
    return "".join(canonical_json(as_json(d)).decode() + "\n" for d in disclosures)


def _fill(folder: Path, record: Record, photos: Iterable[tuple[str, Path]]) -> None:
    (folder / "photos").mkdir()
    for name, original in photos:
        shutil.copyfile(original, folder / name)
    _write_durably(folder / RECORD_FILE, record_text(record.entries).encode())
    if record.disclosures:
        _write_durably(folder / PERSONAL_FILE, disclosure_text(record.disclosures).encode())


def _write_durably(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _read_text(path: Path) -> str:
    try:
        if path.stat().st_size > LARGEST_RECORD_BYTES:
            raise _refused(path.name, "is larger than 1 GB; a record of one job is not.")
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _refused(str(path), "does not exist; a job folder holds one.") from error
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        place = f"{path.name}, line {line}"
        raise _refused(place, "is not UTF-8; save the file as UTF-8.", line) from error
    except OSError as error:
        raise _refused(str(path), f"cannot be read: {error.strerror}.") from error


def _read_specification(path: Path) -> bytes | None:
    """The specification's file, or None where the folder carries none."""
    try:
        if path.stat().st_size > LARGEST_SPECIFICATION_BYTES:
            raise _refused(path.name, "is larger than 1 MB, which no specification is.")
        return path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise _refused(str(path), f"cannot be read: {error.strerror}.") from error


def _photo_files(path: Path, record: Record) -> list[tuple[str, Path]]:
    erased = {
        sha256
        for entry in record.entries
        if isinstance(entry.body, Erasure)
        for sha256 in entry.body.photos or ()
    }
    found: dict[str, Path] = {}
    problems = []
    for entry in record.entries:
        body = entry.new_body or entry.body
        if not isinstance(body, Photo) or body.file in found:
            continue
        file = path / body.file
        if file.is_file() and file.resolve().is_relative_to(path.resolve()):
            found[body.file] = file
        elif body.sha256 is None or body.sha256 not in erased:
            problems.append(_missing_photo(entry, body.file))
    if problems:
        raise RecordError(tuple(problems))
    return list(found.items())


def _missing_photo(entry: Entry, file: str) -> Problem:
    return Problem(
        place=f"{RECORD_FILE}, line {entry.line}",
        sentence=f"photo.file {file} is not in the folder; put the original there, or leave the "
        "entry out.",
        line=entry.line,
        field="photo.file",
    )


def _refused(place: str, sentence: str, line: int | None = None) -> RecordError:
    return RecordError((Problem(place=place, sentence=sentence, line=line),))
