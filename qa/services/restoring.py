"""Bringing a backup back: into an empty place only, and only after all of it was found sound.

The database takes its name last. A restore that was cut short leaves no database, so that the next
one begins anew.
"""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from qa.errors import StoreError, UsageError
from qa.services.backing_up import DATABASE, KEYS, ORIGINALS, PAPERS, require_sqlite
from qa.services.installation import open_installation
from qa.services.loading import Progress
from qa.services.soundness import Soundness, look_through
from qa.settings import Settings
from qa.store.blobs import BlobStore
from qa.store.durably import make_folder, sync

COPYING = "copying the originals and packs"
_MOST_FAULTS = 20


def restore(settings: Settings, folder: Path, *, progress: Progress | None = None) -> Soundness:
    """Copies a backup into an installation that has no database yet, and reads all of it.

    Args:
        settings: of the installation.
        folder: the backup; it is only read.
        progress: told how far it is.

    Returns:
        What was read; it has no faults.

    Raises:
        UsageError: the folder is no backup, or the installation is not empty, or is a server's.
        StoreError: names what is wrong with the backup; no database is left.
    """
    database = require_sqlite(settings)
    _require_backup(folder)
    _require_empty(settings, database)
    staged = database.with_name(f"{database.name}.restoring")
    try:
        make_folder(database.parent)
        shutil.copyfile(folder / DATABASE, staged)
        found = _copy_and_look_through(
            replace(settings, database=f"sqlite:///{staged}"), folder, progress
        )
        sync(staged)
        staged.rename(database)
        sync(database.parent)
    except OSError as error:
        raise UsageError(
            f"{settings.instance} cannot be written: {error.strerror}. Make room or name another "
            "instance folder, then restore again."
        ) from error
    finally:
        for ending in ("", "-wal", "-shm"):
            Path(f"{staged}{ending}").unlink(missing_ok=True)
    return found


def _require_backup(folder: Path) -> None:
    lacking = [name for name in (DATABASE, KEYS) if not (folder / name).exists()]
    if lacking:
        raise UsageError(
            f"{folder} is no backup: it holds no {' and no '.join(lacking)}. "
            "Name a folder that laidtrue backup made."
        )


def _require_empty(settings: Settings, database: Path) -> None:
    if database.exists():
        raise UsageError(
            f"{settings.instance} holds an installation already; a backup is only restored into "
            "an empty one. Name another instance folder with LAIDTRUE_INSTANCE."
        )


def _copy_and_look_through(
    settings: Settings, folder: Path, progress: Progress | None
) -> Soundness:
    """Copies the files, opens the copy of the database and reads everything."""
    faults = [
        *_copy_files(folder / ORIGINALS, BlobStore(settings.originals), progress),
        *_copy_files(folder / PAPERS, BlobStore(settings.papers), progress),
    ]
    _copy_keys(folder / KEYS, settings.keys)
    installation = open_installation(settings)
    try:
        found = look_through(
            installation.store,
            photographs=installation.originals,
            packs=installation.papers,
            progress=progress,
        )
    finally:
        installation.store.engine.dispose()
    faults.extend(found.faults)
    if faults:
        raise StoreError(_told(folder, faults))
    return found


def _copy_files(folder: Path, target: BlobStore, progress: Progress | None) -> list[str]:
    """Copies files by their digest; answers what is wrong with those that are others."""
    faults = []
    files = sorted(path for path in folder.glob("??/??/*") if path.is_file())
    for done, path in enumerate(files, start=1):
        try:
            target.put(path, sha256=path.name)
        except StoreError as error:
            faults.append(f"{path}: {error}")
        if progress is not None:
            progress(COPYING, done, len(files))
    return faults


def _copy_keys(folder: Path, target: Path) -> None:
    make_folder(target)
    target.chmod(0o700)
    for path in folder.iterdir():
        copy = target / path.name
        shutil.copyfile(path, copy)
        copy.chmod(0o600)
        sync(copy)
    sync(target)


def _told(folder: Path, faults: Sequence[str]) -> str:
    shown = [*faults[:_MOST_FAULTS]]
    if len(faults) > _MOST_FAULTS:
        shown.append(f"… and {len(faults) - _MOST_FAULTS} more.")
    lines = "\n".join(shown)
    return f"{lines}\n{folder} is damaged. Nothing was restored; take an older backup."
