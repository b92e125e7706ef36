"""The specifications of a firm: the built-in ones and its own, each version kept for good.

A job pins one version by its name. A version is added and never changed, so what a job is judged by
cannot move under it.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import ConflictError, NotFoundError, Problem, SpecificationError
from qa.services.access import Act, Actor, require
from qa.services.loading import named_specification
from qa.specification.loader import BUILT_IN, parse_specification
from qa.specification.model import Specification
from qa.store import accounts
from qa.store.specifications import NewVersion, add_version, content_of, has_version, versions_of

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation
    from qa.store.store import Database

LARGEST_BYTES = 1_000_000
"""Of one file; the built-in one has 60,000."""
_LONGEST_KEY = 60
_GREATEST_VERSION = 9_999


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferedVersion:
    """A version that a job of the firm may pin.

    Attributes:
        made_by: name of whoever made it, or None for a built-in one.
        made_at: when, or None.
        note: why it was made, or nothing.
        came_with: reference of the job whose folder brought it along, or None; it judges such jobs
            and is not offered to new ones.
    """

    key: str
    version: int
    sha256: str
    made_by: str | None
    made_at: datetime | None
    note: str
    came_with: str | None = None

    @property
    def name(self) -> str:
        """Key and version as a job pins them."""
        return f"{self.key}/{self.version}"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldVersion:
    """One version, read.

    Attributes:
        content: its file, byte by byte.
    """

    offered: OfferedVersion
    content: bytes
    specification: Specification


def pinned_specification(
    database: Database, *, firm_id: str, name: str
) -> tuple[bytes, Specification]:
    """The bytes and the value of the version that a job of a firm pins.

    Raises:
        SpecificationError: it is neither built in nor one of the firm's.
    """
    if name in BUILT_IN:
        return named_specification(name)
    key, version = split_name(name)
    content = content_of(database, firm_id=firm_id, key=key, version=version)
    if content is None:
        raise _refused(
            name,
            "the job pins it, and it is neither built in nor one of the firm’s. Add its file "
            "among the specifications first.",
        )
    return content, parse_specification(content, file=name)


def is_known(database: Database, *, firm_id: str, name: str) -> bool:
    """Whether a version is built in or one of the firm's."""
    key, version = split_name(name)
    is_own = has_version(database, firm_id=firm_id, key=key, version=version)
    return name in BUILT_IN or is_own


def keep_brought(
    session: Session,
    content: bytes,
    *,
    firm_id: str,
    person_id: str | None,
    came_with: str,
    now: datetime,
) -> None:
    """Keeps a version that a job's folder brought along, in the caller's transaction.

    Args:
        session: the transaction in which the job is taken in.
        content: the version's file.
        firm_id: the firm.
        person_id: who took the folder in; None for whoever keeps the installation.
        came_with: reference of the job.
        now: the server's clock.

    Raises:
        SpecificationError: its name cannot be kept.
        NotFoundError: the firm has nobody yet.
    """
    key, version = new_name(content)
    people = accounts.accounts_of(session, firm_id)
    if person_id is None and not people:
        raise NotFoundError("The firm has nobody yet; add the first person with laidtrue person.")
    add_version(
        session,
        NewVersion(
            firm_id=firm_id,
            key=key,
            version=version,
            content=content,
            sha256=hashlib.sha256(content).hexdigest(),
            made_by=person_id or people[0].id,
            made_at=now,
            note="",
            came_with=came_with,
        ),
    )


def offered_versions(installation: Installation, actor: Actor) -> tuple[OfferedVersion, ...]:
    """Every version that the firm's jobs may pin: its own by key, newest first, then built-in."""
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        own = versions_of(session, firm_id=actor.firm_id)
    made = tuple(
        OfferedVersion(
            key=one.key,
            version=one.version,
            sha256=one.sha256,
            made_by=one.made_by,
            made_at=one.made_at,
            note=one.note,
            came_with=one.came_with,
        )
        for one in own
    )
    return (*made, *map(_built_in, BUILT_IN))


def read_version(installation: Installation, actor: Actor, key: str, version: int) -> HeldVersion:
    """One version, read.

    Raises:
        NotFoundError: it is neither built in nor one of the firm's.
    """
    offered = offered_versions(installation, actor)
    found = next((one for one in offered if (one.key, one.version) == (key, version)), None)
    if found is None:
        raise NotFoundError("The firm has no such specification. Choose one of the list.")
    with installation.store.reading() as session:
        content, specification = pinned_specification(
            session, firm_id=actor.firm_id, name=found.name
        )
    return HeldVersion(offered=found, content=content, specification=specification)


def make_version(
    installation: Installation, actor: Actor, content: bytes, *, note: str, now: datetime
) -> OfferedVersion:
    """Keeps a version for good; the same file sent twice is kept once.

    Args:
        installation: where.
        actor: who makes it.
        content: its file: TOML in UTF-8, with its name and version in it.
        note: why it was made.
        now: the server's clock.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        SpecificationError: with every fault of the file; also where its name is one that the
            program brings along.
        ConflictError: the firm has another file of this name and version.
    """
    require(actor, Act.SET_LIMITS)
    key, version = new_name(content)
    sha256 = hashlib.sha256(content).hexdigest()
    with installation.store.writing() as session:
        held = content_of(session, firm_id=actor.firm_id, key=key, version=version)
        if held is not None and held != content:
            raise ConflictError(
                f"The firm has a {key}/{version} with other content, and jobs may pin it. Give "
                "the file the next version.",
                held=hashlib.sha256(held).hexdigest(),
                sent=sha256,
            )
        if held is None:
            new = NewVersion(
                firm_id=actor.firm_id, key=key, version=version, content=content, sha256=sha256,
                made_by=actor.person_id, made_at=now, note=note,
            )  # fmt: skip
            add_version(session, new)
    return read_version(installation, actor, key, version).offered


def new_name(content: bytes) -> tuple[str, int]:
    """Key and version of a file that may be kept.

    Raises:
        SpecificationError: with every fault of the file; also where it is too large, or its name
            is too long or one that the program brings along.
    """
    file = "The file"
    if len(content) > LARGEST_BYTES:
        raise _refused(file, "is larger than 1 MB, which no specification is.")
    name = parse_specification(content, file=file).name
    key, version = split_name(name)
    if key in {split_name(one)[0] for one in BUILT_IN}:
        raise _refused(file, f"{name} is a name that the program brings along; give it your own.")
    if len(key) > _LONGEST_KEY or version > _GREATEST_VERSION:
        raise _refused(
            file,
            f"the name is too long; use at most {_LONGEST_KEY} letters and a version up to "
            f"{_GREATEST_VERSION}.",
        )
    return key, version


def _built_in(name: str) -> OfferedVersion:
    _, specification = named_specification(name)
    key, version = split_name(name)
    return OfferedVersion(
        key=key,
        version=version,
        sha256=specification.sha256,
        made_by=None,
        made_at=None,
        note="",
    )


def split_name(name: str) -> tuple[str, int]:
    """Key and version of a name; version 0, which nothing has, where it gives none."""
    key, _, version = name.partition("/")
    is_number = version.isascii() and version.isdigit() and len(version) < len(str(2**31))
    return key, int(version) if is_number else 0


def _refused(place: str, sentence: str) -> SpecificationError:
    return SpecificationError((Problem(place=place, sentence=sentence),))
