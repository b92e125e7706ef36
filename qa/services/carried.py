"""The specification that a job folder carries beside its record.

A folder that goes out carries the file of the version that its job pins, unless the program brings
that one along. Where the name is known here already, the file must be the same, byte by byte: two
texts of one name would judge one record in two ways.
"""

from __future__ import annotations

import hashlib
from pathlib import Path

from qa.errors import Problem, SpecificationError
from qa.record.folder import JobFolder
from qa.record.reading import SPECIFICATION_FILE
from qa.services.loading import named_specification
from qa.specification.loader import BUILT_IN, parse_specification
from qa.specification.model import Specification


def to_carry(specification: Specification, content: bytes) -> bytes | None:
    """What the folder of a job takes along: the pinned file, or None for a built-in one."""
    return None if specification.name in BUILT_IN else content


def folder_specification(
    folder: JobFolder | None, pinned: str, given: Path | None = None
) -> tuple[bytes, Specification]:
    """The bytes and the value of the version that a folder's job pins.

    Args:
        folder: as it was read; None for a file of areas, which carries nothing.
        pinned: the version's name.
        given: a file that goes before; None for the built-in one, or what the folder carries.

    Raises:
        SpecificationError: there is none, it has a fault, or the folder carries another file of a
            name that the program brings along.
    """
    carried = None if given is not None or folder is None else folder.specification
    if carried is not None and pinned not in BUILT_IN:
        return carried, carried_specification(carried, pinned)
    content, specification = named_specification(pinned, given)
    require_same(pinned, content, carried)
    return content, specification


def carried_specification(content: bytes, pinned: str) -> Specification:
    """The value of the file that a folder carries.

    Raises:
        SpecificationError: it has a fault, or is not the one that the job pins.
    """
    specification = parse_specification(content, file=SPECIFICATION_FILE)
    if specification.name != pinned:
        raise _refused(
            f"it is {specification.name}, and the job pins {pinned}. Put the file of {pinned} "
            "there, or leave it out."
        )
    return specification


def require_same(pinned: str, known: bytes, carried: bytes | None) -> None:
    """Refuses a folder whose file is not the one that is known here by the same name.

    Raises:
        SpecificationError: they differ; the sentence gives both digests.
    """
    if carried is None or carried == known:
        return
    raise _refused(
        f"{pinned} is known here with other content: SHA-256 {_sha256(known)} here, "
        f"{_sha256(carried)} in the folder. Ask whoever made the folder for the right file; "
        "nothing was taken in."
    )


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _refused(sentence: str) -> SpecificationError:
    return SpecificationError((Problem(place=SPECIFICATION_FILE, sentence=sentence),))
