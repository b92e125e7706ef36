"""Making the disk keep what it was given: a file's bytes, and the folders that name it.

A file that was written is in memory; after `sync` of the file its bytes outlive a power cut, after
`sync` of its folder so does its name. Whoever answers before both has promised too much.
"""

from __future__ import annotations

import os
from pathlib import Path


def sync(path: Path) -> None:
    """Has the disk keep a file's bytes, or the names in a folder.

    Raises:
        OSError: the disk could not.
    """
    descriptor = os.open(path, os.O_RDONLY | os.O_CLOEXEC)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def make_folder(path: Path) -> None:
    """Makes a folder and those above it, so that they outlive a power cut.

    Raises:
        OSError: it cannot be made.
    """
    missing = [each for each in (path, *path.parents) if not each.is_dir()]
    for folder in reversed(missing):
        folder.mkdir(exist_ok=True)
        sync(folder.parent)
