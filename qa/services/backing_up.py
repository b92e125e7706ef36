"""A backup of an installation: a folder that holds all that cannot be made again.

The database is copied first, in one state; files are put on the disk before the rows that name
them, so whatever the copy names is there to be copied after it. Copies of photos are not taken:
they are made again from the originals.
"""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass
from pathlib import Path

from qa.errors import UsageError
from qa.services.installation import Installation
from qa.services.loading import Progress
from qa.settings import Settings
from qa.store.blobs import BlobStore
from qa.store.durably import sync
from qa.store.engine import open_engine
from qa.store.snapshots import copy_database, sqlite_file
from qa.store.store import Store
from qa.store.whole import held_digests, made_digests

DATABASE = "laidtrue.db"
ORIGINALS = "originals"
PAPERS = "papers"
KEYS = "keys"
COPYING = "copying the originals and packs"


@dataclass(frozen=True, slots=True, kw_only=True)
class BackedUp:
    """What a backup holds."""

    originals: int
    papers: int


def require_sqlite(settings: Settings) -> Path:
    """The file of an installation's database.

    Raises:
        UsageError: it is no file but a server's, which has better tools of its own; says which.
    """
    file = sqlite_file(settings.database_url)
    if file is None:
        raise UsageError(
            "The database of this installation is a PostgreSQL server, which has its own tools: "
            "take it out with pg_dump and in with pg_restore. Then copy "
            f"{settings.originals}, {settings.papers} and {settings.keys}, after the database."
        )
    return file


def back_up(
    installation: Installation, folder: Path, *, progress: Progress | None = None
) -> BackedUp:
    """Copies an installation into a new folder while it goes on working.

    Args:
        installation: which.
        folder: the folder to make; it must not exist.
        progress: told how many files have been copied.

    Raises:
        UsageError: the folder exists or cannot be made, or the database is a server.
        StoreError: a file is missing or damaged; nothing is left behind.
    """
    require_sqlite(installation.settings)
    if folder.exists():
        raise UsageError(f"{folder} exists already; name a folder that does not.")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        making = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        try:
            done = _fill(installation, making, progress)
            making.rename(folder)
        finally:
            shutil.rmtree(making, ignore_errors=True)
        sync(folder.parent)
    except OSError as error:
        raise UsageError(
            f"{folder} cannot be written: {error.strerror}. Make room or choose another place; "
            "nothing was left behind."
        ) from error
    return done


def _fill(installation: Installation, folder: Path, progress: Progress | None) -> BackedUp:
    copy_database(installation.store.engine, folder / DATABASE)
    shutil.copytree(installation.settings.keys, folder / KEYS)
    photographs, packs = _named(folder / DATABASE)
    for blobs, name, digests, before in (
        (installation.originals, ORIGINALS, photographs, 0),
        (installation.papers, PAPERS, packs, len(photographs)),
    ):
        target = BlobStore(folder / name)
        for done, digest in enumerate(digests, start=before + 1):
            target.put(blobs.path(digest), sha256=digest)
            if progress is not None:
                progress(COPYING, done, len(photographs) + len(packs))
    sync(folder)
    return BackedUp(originals=len(photographs), papers=len(packs))


def _named(database: Path) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The originals and packs that the copy names: no more and no fewer than it needs."""
    engine = open_engine(f"sqlite:///{database}")
    try:
        with Store(engine=engine).reading() as session:
            return held_digests(session), made_digests(session)
    finally:
        engine.dispose()
