"""Whether a demonstration folder that is there is whole and made by this program's recipe.

Beside the folder lies a mark: the recipe on its first line, then the SHA-256 of every file. The
recipe is a digest of the code that makes the folder, so no version has to be kept by hand. The mark
is written before the folder, so that one without the other is never taken for whole.
"""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import PIL

import qa.demo
import qa.photos.drawn
import qa.record

_PACKAGES = (qa.demo, qa.photos.drawn, qa.record)


def recipe() -> str:
    """The digest of all that decides the folder's bytes: this code, and the library that draws."""
    digest = sha256(f"Pillow {PIL.__version__}\n".encode())
    for package in _PACKAGES:
        for folder in package.__path__:
            for module in sorted(Path(folder).rglob("*.py")):
                digest.update(module.relative_to(folder).as_posix().encode() + b"\0")
                digest.update(module.read_bytes() + b"\0")
    return digest.hexdigest()


def mark_of(folder: Path, made_by: str) -> str:
    """The mark of a folder's content.

    Args:
        folder: the folder as it should stand.
        made_by: the recipe.
    """
    lines = (f"{_digest(file)}  {name}" for name, file in _files(folder))
    return "\n".join((f"recipe {made_by}", *lines)) + "\n"


def is_whole(folder: Path, mark: Path, made_by: str) -> bool:
    """Whether the folder holds exactly what the mark says and was made by this recipe."""
    if not (folder.is_dir() and mark.is_file()):
        return False
    said = mark.read_text(encoding="utf-8")
    return said.startswith(f"recipe {made_by}\n") and said == mark_of(folder, made_by)


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix(), path


def _digest(file: Path) -> str:
    return sha256(file.read_bytes()).hexdigest()
