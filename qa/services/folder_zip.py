"""Job folders as zip files: the form in which a browser takes one out and hands one in.

A zip that comes from outside is trusted in nothing: its names, its sizes and its sums are checked
before a byte is written, and again while it is.
"""

from __future__ import annotations

import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO, TYPE_CHECKING, BinaryIO

from qa.errors import Problem, RecordError
from qa.record.folder import disclosure_text, record_text
from qa.record.reading import PERSONAL_FILE, RECORD_FILE, SPECIFICATION_FILE, Record
from qa.services.access import Act, Actor, require
from qa.services.carried import to_carry
from qa.services.reading import ReadJob, read_job
from qa.services.taking_out import original_files

if TYPE_CHECKING:
    from qa.services.installation import Installation

PHOTOS = "photos"
_MOMENT = (1980, 1, 1, 0, 0, 0)
"""The time of every file in a zip, so that the same job gives the same bytes."""
_LONGEST_NAME = 200
_CHUNK_BYTES = 1024 * 1024
_ON_SOME_MACHINES = frozenset({"__MACOSX", ".DS_Store", "Thumbs.db", "desktop.ini"})
"""What machines put into folders by themselves; it is passed over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ZipLimits:
    """How much is taken.

    Attributes:
        files: in one folder.
        bytes: of all files together, unpacked.
        file_bytes: of one file, unpacked.
    """

    files: int = 20_000
    bytes: int = 4 * 1024**3
    file_bytes: int = 512 * 1024**2


def zip_out(installation: Installation, actor: Actor, job_id: str, out: BinaryIO) -> str:
    """Writes a job's folder as a zip: every entry, the personal values that are left, originals.

    The files are stored as they are, in a fixed order and with a fixed time, so that the same
    record gives the same bytes.

    Args:
        installation: where.
        actor: who takes it out.
        job_id: the installation's id of the job.
        out: where to write.

    Returns:
        The name of the folder in it.

    Raises:
        NotFoundError: the actor's firm has no such job.
    """
    require(actor, Act.TAKE_OUT)
    read = read_job(installation, actor, job_id)
    return write_zip(installation, read, read.record, out)


def write_zip(installation: Installation, read: ReadJob, record: Record, out: BinaryIO) -> str:
    """Writes a job's folder as a zip, with the personal values that `record` discloses."""
    folder = folder_name(read.job.reference)
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        _write(archive, f"{folder}/{RECORD_FILE}", record_text(record.entries).encode())
        if record.disclosures:
            personal = disclosure_text(record.disclosures).encode()
            _write(archive, f"{folder}/{PERSONAL_FILE}", personal)
        specification = to_carry(read.specification, read.specification_bytes)
        if specification is not None:
            _write(archive, f"{folder}/{SPECIFICATION_FILE}", specification)
        for name, path in sorted(original_files(installation, record)):
            with path.open("rb") as file, archive.open(_info(f"{folder}/{name}"), "w") as target:
                _copy(file, target, name=name, most=_NO_LIMIT)
    return folder


def folder_name(reference: str) -> str:
    """A job's reference as its folder may be called.

    >>> folder_name("J 2026/014")
    'J-2026-014'
    """
    plain = "".join(sign if sign.isalnum() or sign in "-_." else "-" for sign in reference)
    return plain.strip(".") or "job"


def unzip(file: BinaryIO, folder: Path, *, limits: ZipLimits | None = None) -> None:
    """Unpacks a job folder that somebody has handed in.

    Args:
        file: the zip.
        folder: an empty folder to unpack into.
        limits: how much is taken.

    Raises:
        RecordError: it is no zip, or holds what no job folder does: names that lead elsewhere,
            the same name twice, links, more than is taken.
    """
    limits = limits or ZipLimits()
    try:
        with zipfile.ZipFile(file) as archive:
            members = dict(_members(archive, limits))
            (folder / PHOTOS).mkdir()
            left = limits.bytes
            for name, info in members.items():
                with archive.open(info) as source, (folder / name).open("xb") as target:
                    left -= _copy(source, target, name=name, most=min(left, limits.file_bytes))
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError) as error:
        raise _refused(
            "is no zip file that can be read whole; pack the folder again, without a password."
        ) from error


def _members(archive: zipfile.ZipFile, limits: ZipLimits) -> Iterator[tuple[str, zipfile.ZipInfo]]:
    """The files of a job folder in a zip, by their names in the folder, each checked."""
    infos = [info for info in archive.infolist() if not _is_passed_over(info)]
    if len(infos) > limits.files:
        raise _refused(f"holds {len(infos)} files; at most {limits.files} are taken.")
    if sum(info.file_size for info in infos) > limits.bytes:
        raise _refused(f"unpacks to more than {limits.bytes // 1024**2} MB, which is not taken.")
    top = _top_folder(infos)
    seen: set[str] = set()
    for info in infos:
        name = _checked_name(info, top)
        if name.casefold() in seen:
            raise _refused("holds this name twice; leave one of them out.", info.filename)
        seen.add(name.casefold())
        yield name, info
    if RECORD_FILE not in seen:
        raise _refused(f"holds no {RECORD_FILE}; pack the folder that has one.")


def _is_passed_over(info: zipfile.ZipInfo) -> bool:
    parts = info.filename.split("/")
    return info.is_dir() or not _ON_SOME_MACHINES.isdisjoint((parts[0], parts[-1]))


def _top_folder(infos: list[zipfile.ZipInfo]) -> str:
    """The one folder that the files lie in, or nothing where they lie at the top."""
    if any(info.filename == RECORD_FILE for info in infos):
        return ""
    tops = {info.filename.partition("/")[0] for info in infos}
    return f"{tops.pop()}/" if len(tops) == 1 else ""


def _checked_name(info: zipfile.ZipInfo, top: str) -> str:
    """The name of a file in the folder.

    Raises:
        RecordError: it is no file of a job folder.
    """
    name = info.filename.removeprefix(top)
    if stat.S_ISLNK(info.external_attr >> 16):
        raise _refused("is a link; put the file itself there.", info.filename)
    if info.flag_bits & 1:
        raise _refused("is locked by a password; pack the folder without one.", info.filename)
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise _refused("is packed in an unusual way; make an ordinary zip file.", info.filename)
    if name in (RECORD_FILE, PERSONAL_FILE, SPECIFICATION_FILE):
        return name
    parts = PurePosixPath(name).parts
    is_photo = len(parts) == 2 and parts[0] == PHOTOS and name == f"{PHOTOS}/{parts[1]}"
    is_plain = "\\" not in name and name.isprintable() and len(name) <= _LONGEST_NAME
    if not is_photo or parts[1] in (".", "..") or not is_plain:
        raise _refused(
            f"is no file of a job folder, which holds {RECORD_FILE}, {PERSONAL_FILE}, "
            f"{SPECIFICATION_FILE} and {PHOTOS}/ without further folders.",
            info.filename,
        )
    return name


_NO_LIMIT = 2**62


def _copy(source: IO[bytes], target: IO[bytes], *, name: str, most: int) -> int:
    """Copies a file, and answers how long it was; a size that was stated wrong is found here."""
    length = 0
    while chunk := source.read(_CHUNK_BYTES):
        length += len(chunk)
        if length > most:
            raise _refused("unpacks to more than is taken.", name)
        target.write(chunk)
    return length


def _info(name: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _MOMENT)
    info.external_attr = 0o644 << 16
    return info


def _write(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    archive.writestr(_info(name), content)


def _refused(sentence: str, name: str = "") -> RecordError:
    shown = "".join(sign if sign.isprintable() else "�" for sign in name[:120])
    return RecordError((Problem(place=shown or "The zip file", sentence=sentence),))
