"""Power cuts at every kind of moment, over the ledger and the photographs together."""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.durability.disk import Chance, Disk, seen, write_cut
from tests.durability.recorder import Change, build_recorder, run_recorded
from tests.durability.surviving import losses
from tests.house import open_house

CUTS = 1000
PARTS = 4
ROUNDS = 16
MEMORY = Path("/dev/shm")


@pytest.fixture(scope="module")
def recorder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_recorder(tmp_path_factory.mktemp("recorder"))


@pytest.fixture
def images() -> Iterator[Path]:
    """A folder for disks after a cut, in memory where there is such a folder."""
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        yield Path(folder)


class Recorded:
    """A worker's run: the disk as it was before, and every change since."""

    def __init__(self, recorder: Path, folder: Path, mutant: str = "") -> None:
        self.instance = folder / "instance"
        self._acknowledged = folder / "acknowledged"
        house = open_house(self.instance)
        house.installation.store.engine.dispose()
        before = folder / "before"
        shutil.copytree(self.instance, before)
        arguments = [str(ROUNDS), *([mutant] if mutant else [])]
        self.changes: list[Change] = run_recorded(recorder, self.instance, folder, arguments)
        self._before = before

    def disk(self) -> Disk:
        """The disk before the first change."""
        return Disk(self._before, root=self.instance, acknowledged=self._acknowledged)


def _cuts(recorded: Recorded, images: Path, *, seed: str, cuts: int = CUTS) -> Iterator[list[str]]:
    """What is lost at each of the cuts, in the order of the run."""
    chosen = random.Random(seed)
    moments = sorted(chosen.randrange(len(recorded.changes) + 1) for _ in range(cuts))
    disk, done = recorded.disk(), 0
    for number, moment in enumerate(moments):
        for change in recorded.changes[done:moment]:
            disk.change(change)
        done = moment
        image = images / "cut"
        write_cut(disk, Chance(f"{seed} {number}"), image)
        acknowledged = frozenset(disk.acknowledged.whole().decode().split())
        yield [f"cut {number} at change {moment}: {loss}" for loss in losses(image, acknowledged)]
        shutil.rmtree(image)


def test_the_recorder_misses_no_change(recorder: Path, tmp_path: Path) -> None:
    recorded = Recorded(recorder, tmp_path)
    disk = recorded.disk()
    for change in recorded.changes:
        disk.change(change)
    there = {
        path.relative_to(recorded.instance).as_posix(): path.read_bytes()
        for path in recorded.instance.rglob("*")
        if path.is_file() and not path.name.endswith("-shm")
    }
    ours = {name: file for name, file in seen(disk.root).items() if not name.endswith("-shm")}
    assert sorted(ours) == sorted(there)
    assert [name for name in ours if ours[name] != there[name]] == []
    assert len(disk.acknowledged.whole().split()) == 1 + ROUNDS + 2 * (ROUNDS // 2)


@pytest.mark.parametrize("part", range(PARTS))  # so that several cores may share the cuts
def test_no_cut_loses_what_was_acknowledged(
    recorder: Path, tmp_path: Path, images: Path, part: int
) -> None:
    recorded = Recorded(recorder, tmp_path)
    cuts = _cuts(recorded, images, seed=f"part {part}", cuts=CUTS // PARTS)
    assert [loss for cut in cuts for loss in cut] == []


@pytest.mark.parametrize("mutant", ["normal", "late-photo"])
def test_cuts_find_what_a_weakened_program_loses(
    recorder: Path, tmp_path: Path, images: Path, mutant: str
) -> None:
    recorded = Recorded(recorder, tmp_path, mutant)
    first = next((cut for cut in _cuts(recorded, images, seed=mutant) if cut), None)
    assert first is not None
