"""A folder that is there is kept only where it is whole and of this recipe."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.demo.made_folder import is_whole, mark_of, recipe
from qa.demo.making import _put, make_folder
from qa.errors import UsageError


@pytest.fixture
def made(tmp_path: Path) -> tuple[Path, Path]:
    folder = tmp_path / "job"
    (folder / "photos").mkdir(parents=True)
    (folder / "record.jsonl").write_text("one\ntwo\n")
    (folder / "photos" / "001.jpg").write_bytes(b"picture")
    mark = tmp_path / "job.sha256"
    mark.write_text(mark_of(folder, recipe()))
    return folder, mark


def test_whole_folder_is_kept(made: tuple[Path, Path]) -> None:
    assert is_whole(*made, recipe())
    assert make_folder(made[0]) is False


def test_folder_of_another_recipe_is_not_whole(made: tuple[Path, Path]) -> None:
    assert not is_whole(*made, "0" * 64)


@pytest.mark.parametrize("name", ["record.jsonl", "photos/001.jpg"])
def test_folder_with_a_changed_file_is_not_whole(made: tuple[Path, Path], name: str) -> None:
    (made[0] / name).write_bytes(b"changed")
    assert not is_whole(*made, recipe())


def test_folder_with_a_file_less_or_more_is_not_whole(made: tuple[Path, Path]) -> None:
    (made[0] / "photos" / "002.jpg").write_bytes(b"another")
    assert not is_whole(*made, recipe())
    (made[0] / "photos" / "002.jpg").unlink()
    (made[0] / "photos" / "001.jpg").unlink()
    assert not is_whole(*made, recipe())


def test_folder_without_its_mark_is_not_touched(made: tuple[Path, Path]) -> None:
    made[1].unlink()
    with pytest.raises(UsageError, match=r"job is there and was not made by this command"):
        make_folder(made[0])
    assert (made[0] / "record.jsonl").read_text() == "one\ntwo\n"


def test_recipe_is_the_same_each_time() -> None:
    assert recipe() == recipe()


def test_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(UsageError, match="cannot be written to"):
        make_folder(tmp_path / "file" / "job")
    assert sorted(tmp_path.iterdir()) == [tmp_path / "file"]


def test_new_folder_takes_the_place_of_the_old(made: tuple[Path, Path], tmp_path: Path) -> None:
    place = tmp_path / "place"
    (place / "job").mkdir(parents=True)
    (place / "job" / "record.jsonl").write_text("three\n")
    folder, mark = made
    _put(place / "job", folder, mark, mark_of(place / "job", recipe()))
    assert is_whole(folder, mark, recipe())
    assert [path.name for path in folder.iterdir()] == ["record.jsonl"]
    assert list(place.iterdir()) == []
