"""A disk that is written to, and what a power cut may leave of it.

The model is stricter than real file systems: syncing a file keeps its bytes and not its name,
syncing a folder keeps the names in it and not the bytes behind them, and of what was not synced any
part may be there, in any order.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.durability.recorder import Change, Op

SECTOR_BYTES = 512


@dataclass(slots=True, eq=False)
class File:
    """A file: what is kept for certain, and what was asked for since.

    Attributes:
        pending: writes as offset and data, and truncations as length and None.
    """

    kept: bytearray = field(default_factory=bytearray)
    pending: list[tuple[int, bytes | None]] = field(default_factory=list)

    def sync(self) -> None:
        """Keeps everything."""
        for change in self.pending:
            _apply(self.kept, *change)
        self.pending.clear()

    def whole(self) -> bytes:
        """What the program sees."""
        content = bytearray(self.kept)
        for change in self.pending:
            _apply(content, *change)
        return bytes(content)

    def cut(self, chance: Chance) -> bytes:
        """What a cut leaves."""
        content = bytearray(self.kept)
        for place, data in self.pending:
            if data is None:
                if chance.keeps():
                    _apply(content, place, None)
                continue
            for start, piece in _sectors(place, data):
                if chance.keeps():
                    _apply(content, start, piece)
        return bytes(content)


@dataclass(slots=True, eq=False)
class Folder:
    """A folder: the names kept for certain, and those made or removed since."""

    kept: dict[str, File | Folder] = field(default_factory=dict)
    pending: list[tuple[str, File | Folder | None]] = field(default_factory=list)

    def sync(self) -> None:
        """Keeps every name."""
        self.kept = self.now()
        self.pending.clear()

    def now(self) -> dict[str, File | Folder]:
        """The names that the program sees."""
        return self._with(self.pending)

    def cut(self, chance: Chance) -> dict[str, File | Folder]:
        """The names that a cut leaves."""
        return self._with([change for change in self.pending if chance.keeps()])

    def _with(self, changes: list[tuple[str, File | Folder | None]]) -> dict[str, File | Folder]:
        names = dict(self.kept)
        for name, node in changes:
            if node is None:
                names.pop(name, None)
            else:
                names[name] = node
        return names


class Chance:
    """What becomes of what was not synced: all lost, all kept, or each part by itself."""

    def __init__(self, seed: str) -> None:
        self._random = random.Random(seed)
        self._share = self._random.choice((0.0, 0.1, 0.5, 0.9, 1.0))

    def keeps(self) -> bool:
        return self._random.random() < self._share


class Disk:
    """The tree below one folder, changed by the records of a log."""

    def __init__(self, before: Path, *, root: Path, acknowledged: Path) -> None:
        """Begins with a copy of the tree, all of it kept.

        Args:
            before: the copy.
            root: where the log says that the tree is.
            acknowledged: where the log says that acknowledgements go.
        """
        self.root = Folder()
        self.acknowledged = File()
        self._at = os.fsencode(root)
        self._acknowledged_at = os.fsencode(acknowledged)
        self._open: dict[int, File | Folder] = {}
        _take(before, self.root)

    def change(self, change: Change) -> None:
        """Does what a record says."""
        match change.op:
            case Op.OPEN:
                self._open[change.descriptor] = self._opened(change.first, change.number)
            case Op.CLOSE:
                del self._open[change.descriptor]
            case Op.WRITE:
                self._file(change).pending.append((change.number, change.first))
            case Op.TRUNCATE:
                self._file(change).pending.append((change.number, None))
            case Op.SYNC:
                self._open[change.descriptor].sync()
            case Op.UNKNOWN:
                raise AssertionError(f"a change that the recorder cannot place: {change.first!r}")
            case _:
                self._rename(change)

    def _rename(self, change: Change) -> None:
        folder, name = self._place(change.first)
        match change.op:
            case Op.MKDIR:
                folder.pending.append((name, Folder()))
            case Op.UNLINK | Op.RMDIR:
                folder.pending.append((name, None))
            case Op.RENAME | Op.LINK:
                other, new_name = self._place(change.second)
                other.pending.append((new_name, folder.now()[name]))
                if change.op is Op.RENAME:
                    folder.pending.append((name, None))

    def _opened(self, path: bytes, flags: int) -> File | Folder:
        if path == self._acknowledged_at:
            return self.acknowledged
        if path == self._at:
            return self.root
        folder, name = self._place(path)
        node = folder.now().get(name)
        if node is None:
            assert flags & os.O_CREAT
            node = File()
            folder.pending.append((name, node))
        if flags & os.O_TRUNC and isinstance(node, File):
            node.pending.append((0, None))
        return node

    def _place(self, path: bytes) -> tuple[Folder, str]:
        assert path.startswith(self._at + b"/"), path
        *above, name = os.fsdecode(path[len(self._at) + 1 :]).split("/")
        folder = self.root
        for part in above:
            below = folder.now()[part]
            assert isinstance(below, Folder)
            folder = below
        return folder, name

    def _file(self, change: Change) -> File:
        file = self._open[change.descriptor]
        assert isinstance(file, File)
        return file


def seen(folder: Folder) -> dict[str, bytes]:
    """Every file that the program sees, by its path."""
    return {name: file.whole() for name, file in _walk(folder, lambda each: each.now())}


def write_cut(disk: Disk, chance: Chance, place: Path) -> None:
    """Writes below `place` what a cut at this moment leaves."""
    place.mkdir(parents=True, exist_ok=True)
    _write(disk.root, chance, place)


def _write(folder: Folder, chance: Chance, place: Path) -> None:
    for name, node in folder.cut(chance).items():
        if _is_of_no_matter(name):
            continue
        if isinstance(node, Folder):
            (place / name).mkdir(exist_ok=True)
            _write(node, chance, place / name)
        else:
            (place / name).write_bytes(node.cut(chance))


def _is_of_no_matter(name: str) -> bool:
    """The hints to the background, and the database's index in memory, which it makes anew."""
    return name.startswith("waking.db") or name.endswith("-shm")


def _walk(folder: Folder, names, above: str = "") -> Iterator[tuple[str, File]]:
    for name, node in names(folder).items():
        if isinstance(node, Folder):
            yield from _walk(node, names, f"{above}{name}/")
        else:
            yield f"{above}{name}", node


def _take(place: Path, folder: Folder) -> None:
    for path in sorted(place.iterdir()):
        if path.is_dir():
            below = folder.kept[path.name] = Folder()
            _take(path, below)
        else:
            folder.kept[path.name] = File(kept=bytearray(path.read_bytes()))


def _apply(content: bytearray, place: int, data: bytes | None) -> None:
    end = place + len(data or b"")
    if len(content) < end:
        content.extend(bytes(end - len(content)))
    if data is None:
        del content[place:]
    else:
        content[place:end] = data


def _sectors(place: int, data: bytes) -> Iterator[tuple[int, bytes]]:
    at = 0
    while at < len(data):
        end = min(len(data), at + SECTOR_BYTES - (place + at) % SECTOR_BYTES)
        yield place + at, data[at:end]
        at = end
