"""An installation: its settings, its database, its folders and what it holds in memory."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from qa.errors import StoreError
from qa.services.identity import new_id, new_salt
from qa.services.open_jobs import OpenJobs
from qa.settings import Settings
from qa.store.blobs import BlobStore
from qa.store.durably import make_folder, sync
from qa.store.engine import open_engine
from qa.store.guards import require_guards
from qa.store.migrating import migrate_to_head
from qa.store.pieces import Pieces
from qa.store.store import Store
from qa.texts.catalogue import ENGLISH, Catalogue, read_catalogues

KEY_BYTES = 32


@dataclass(frozen=True, slots=True, kw_only=True)
class Installation:
    """Everything that a use case needs besides who acts, and when.

    Attributes:
        originals: original photographs.
        papers: packs that were made.
        pieces: photos that are arriving.
        open_jobs: jobs held in memory.
        new_id: answers a fresh UUID of version 7.
        new_salt: answers a fresh salt for one disclosure.
        seal_key: secret of the installation, by which cookies are signed and secrets sealed.
        languages: those that the site and its mail can speak, English first.
    """

    settings: Settings
    store: Store
    originals: BlobStore
    papers: BlobStore
    pieces: Pieces
    open_jobs: OpenJobs
    new_id: Callable[[], str]
    new_salt: Callable[[], str]
    seal_key: bytes
    languages: tuple[Catalogue, ...] = (ENGLISH,)


def open_installation(settings: Settings) -> Installation:
    """Opens an installation, and makes what it lacks: folders, the key, the tables.

    Raises:
        StoreError: the place cannot be written to, or the database is not as it must be.
        TextsError: a catalogue of texts cannot be read.
    """
    try:
        make_folder(settings.instance)
    except OSError as error:
        raise StoreError(
            f"{settings.instance} cannot be made: {error.strerror}; name another instance folder."
        ) from error
    engine = open_engine(settings.database_url)
    migrate_to_head(engine)
    require_guards(engine)
    return Installation(
        settings=settings,
        store=Store(engine=engine),
        originals=BlobStore(settings.originals),
        papers=BlobStore(settings.papers),
        pieces=Pieces(settings.arriving),
        open_jobs=OpenJobs(),
        new_id=new_id,
        new_salt=new_salt,
        seal_key=_seal_key(settings.keys),
        languages=read_catalogues(),
    )


def _seal_key(folder: Path) -> bytes:
    """The installation's secret, made at its first start and readable by its owner alone."""
    path = folder / "seal.key"
    try:
        if not path.exists():
            make_folder(folder)
            folder.chmod(0o700)
            _write_new(path, secrets.token_bytes(KEY_BYTES))
            sync(folder)
        key = path.read_bytes()
    except OSError as error:
        raise StoreError(f"{path} cannot be used: {error.strerror}.") from error
    if len(key) != KEY_BYTES:
        raise StoreError(f"{path} is not the key that was made here; put back the one that was.")
    return key


def _write_new(path: Path, content: bytes) -> None:
    """Writes a file that nobody else has made meanwhile; whoever comes second reads the first."""
    making = path.with_name(f"{path.name}.{os.getpid()}")
    descriptor = os.open(making, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(making, path)
    except FileExistsError:
        pass
    finally:
        making.unlink()
