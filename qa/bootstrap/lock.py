"""The locks, and the stamp by which an environment says which of them it holds.

A lock names every package with the digests of its files and no address. The stamp is written last,
so an environment whose making was cut short has none that fits and is mended on the next run.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

FOLDER = ".lock"
UNFINISHED = "unfinished\n"
"""What the stamp says while packages are being installed."""

_PIN = re.compile(r"^([A-Za-z0-9._-]+)==(\S+)", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lock:
    """One lock file.

    Attributes:
        name: the file's name without its ending.
        includes: names of other locks all of whose packages this one names too.
        sources: packages that are published as source only, and so are built here.
    """

    name: str
    includes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def path(self, root: Path) -> Path:
        """Return the lock's place in a checkout."""
        return root / FOLDER / f"{self.name}.txt"


RUNTIME = Lock(name="runtime")
DEVELOPMENT = Lock(name="development", includes=("runtime",), sources=("psychrolib",))
LOCKING = Lock(name="locking")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """One package at one version, as a lock names it."""

    package: str
    version: str


def pins(text: str) -> tuple[Pin, ...]:
    """Return the packages that a lock names, in its order.

    One package may stand there at several versions, for different versions of Python.
    """
    return tuple(Pin(package=name, version=version) for name, version in _PIN.findall(text))


def stamp(lock: Lock, root: Path, launcher: str) -> str:
    """Return the stamp of an environment that holds a lock and all that the lock includes.

    Args:
        lock: the lock installed.
        root: the checkout; an environment that moved with its checkout must learn the new place.
        launcher: the text of the program that starts `laidtrue`.
    """
    names = (lock.name, *lock.includes)
    return "".join(f"{_line(Lock(name=name), root, launcher)}\n" for name in names)


def is_stamped(text: str, lock: Lock, root: Path, launcher: str) -> bool:
    """Tell whether a stamp says that the lock, as it stands now, is installed."""
    return _line(lock, root, launcher) in text.splitlines()


def _line(lock: Lock, root: Path, launcher: str) -> str:
    content = hashlib.sha256()
    for piece in (lock.path(root).read_bytes(), str(root).encode(), launcher.encode()):
        content.update(hashlib.sha256(piece).digest())
    return f"{lock.name} {content.hexdigest()}"
