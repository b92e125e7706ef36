"""The job folder on disk: read whole or refused, written whole or not at all."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from qa.errors import Problem, RecordError, UsageError
from qa.record.folder import read_folder, record_text, write_folder
from qa.record.job import fold
from tests.factories import RecordBuilder, photo_bytes, photo_file


def with_photos() -> RecordBuilder:
    builder = RecordBuilder.equipped()
    builder.add("photo")
    builder.add("photo", file="photos/Dach – Nord.JPG")
    return builder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A good folder with two photos."""
    return with_photos().write(tmp_path / "a-job")


def problems_of(folder: Path) -> tuple[Problem, ...]:
    with pytest.raises(RecordError) as refused:
        read_folder(folder)
    return refused.value.problems


def problem_of(folder: Path) -> Problem:
    (problem,) = problems_of(folder)
    return problem


def everything_in(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*"))


def test_good_folder_is_read_whole(folder: Path) -> None:
    read = read_folder(folder)
    assert read.path == folder
    assert read.record == with_photos().record()
    assert read.photos == (
        ("photos/001.jpg", folder / "photos/001.jpg"),
        ("photos/Dach – Nord.JPG", folder / "photos/Dach – Nord.JPG"),
    )


def test_folder_written_by_hand_has_no_personal_file(folder: Path) -> None:
    assert {path.name for path in folder.iterdir()} == {"record.jsonl", "photos"}


def test_photos_are_copied_byte_for_byte(folder: Path) -> None:
    for name, path in read_folder(folder).photos:
        assert path.read_bytes() == photo_bytes(name)


def test_missing_folder_is_refused(tmp_path: Path) -> None:
    problem = problem_of(tmp_path / "nowhere")
    assert problem.place == str(tmp_path / "nowhere")
    assert problem.sentence == "does not exist; name a folder that holds record.jsonl."


def test_file_instead_of_a_folder_is_refused(folder: Path) -> None:
    assert "is not a folder" in problem_of(folder / "record.jsonl").sentence


def test_folder_without_a_record_is_refused(folder: Path) -> None:
    (folder / "record.jsonl").unlink()
    assert problem_of(folder).sentence == "does not exist; a job folder holds one."


def test_folder_in_place_of_the_record_is_refused(folder: Path) -> None:
    (folder / "record.jsonl").unlink()
    (folder / "record.jsonl").mkdir()
    assert problem_of(folder).sentence.startswith("cannot be read: ")


def test_empty_record_is_refused(folder: Path) -> None:
    (folder / "record.jsonl").write_bytes(b"")
    assert problem_of(folder).sentence == "has no entry; the first is of kind job."


def test_byte_order_mark_is_no_fault(folder: Path) -> None:
    file = folder / "record.jsonl"
    file.write_bytes(b"\xef\xbb\xbf" + file.read_bytes())
    assert read_folder(folder).record == with_photos().record()


@pytest.mark.parametrize("line_end", [b"\r\n", b"\r"])
def test_line_ends_of_other_systems_are_no_fault(folder: Path, line_end: bytes) -> None:
    file = folder / "record.jsonl"
    file.write_bytes(file.read_bytes().replace(b"\n", line_end))
    assert read_folder(folder).record == with_photos().record()


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "byte_order_mark"])
@pytest.mark.parametrize("bad", [b"\xff", b"\xed\xa0\x80", b"\xc0\xaf"], ids=bytes.hex)
def test_record_that_is_not_utf_8_is_refused(folder: Path, mark: bytes, bad: bytes) -> None:
    file = folder / "record.jsonl"
    lines = file.read_bytes().splitlines(keepends=True)
    lines[3] = bad + lines[3]
    file.write_bytes(mark + b"".join(lines))
    problem = problem_of(folder)
    assert problem.place == "record.jsonl, line 4"
    assert problem.line == 4
    assert problem.sentence == "is not UTF-8; save the file as UTF-8."


def test_utf_16_record_is_refused(folder: Path) -> None:
    file = folder / "record.jsonl"
    file.write_text(file.read_text(encoding="utf-8"), encoding="utf-16")
    assert problem_of(folder).sentence == "is not UTF-8; save the file as UTF-8."


def test_personal_file_that_is_not_utf_8_is_refused(folder: Path) -> None:
    (folder / "personal.jsonl").write_bytes(b"{}\n\xff")
    assert problem_of(folder).place == "personal.jsonl, line 2"


def test_missing_photo_is_refused_with_its_line(folder: Path) -> None:
    (folder / "photos/001.jpg").unlink()
    problem = problem_of(folder)
    assert (problem.place, problem.field) == ("record.jsonl, line 10", "photo.file")
    assert problem.sentence == (
        "photo.file photos/001.jpg is not in the folder; put the original there, or leave the "
        "entry out."
    )


def test_every_missing_photo_is_told(folder: Path) -> None:
    for photo in (folder / "photos").iterdir():
        photo.unlink()
    assert [problem.line for problem in problems_of(folder)] == [10, 11]


def test_photo_linked_out_of_the_folder_is_refused(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "secret.jpg"
    outside.write_bytes(b"outside")
    (folder / "photos/001.jpg").unlink()
    (folder / "photos/001.jpg").symlink_to(outside)
    assert problem_of(folder).line == 10


def test_photos_folder_linked_out_is_refused(folder: Path, tmp_path: Path) -> None:
    (folder / "photos").rename(tmp_path / "elsewhere")
    (folder / "photos").symlink_to(tmp_path / "elsewhere")
    assert [problem.line for problem in problems_of(folder)] == [10, 11]


def test_folder_in_place_of_a_photo_is_refused(folder: Path) -> None:
    (folder / "photos/001.jpg").unlink()
    (folder / "photos/001.jpg").mkdir()
    assert problem_of(folder).line == 10


@pytest.mark.parametrize("name", ["photos/../record.jsonl", "../photos/001.jpg", "/etc/passwd"])
def test_photo_named_out_of_the_folder_is_refused(folder: Path, name: str) -> None:
    file = folder / "record.jsonl"
    file.write_text(file.read_text(encoding="utf-8").replace("photos/001.jpg", name), "utf-8")
    problem = problem_of(folder)
    assert (problem.line, problem.field) == (10, "photo.file")
    assert "a photo is named photos/FILE" in problem.sentence


def test_file_that_no_entry_names_is_left_alone(folder: Path) -> None:
    (folder / "photos/stray.jpg").write_bytes(b"x")
    assert len(read_folder(folder).photos) == 2


def test_photo_named_twice_is_listed_once(tmp_path: Path) -> None:
    builder = with_photos()
    builder.add("photo", file="photos/001.jpg", caption="The same original")
    assert len(read_folder(builder.write(tmp_path / "a-job")).photos) == 2


def erased_photo() -> RecordBuilder:
    builder = with_photos()
    builder.add("erasure", disclosures=..., photos=[photo_file("photos/001.jpg").sha256])
    return builder


def write_sealed(builder: RecordBuilder, tmp_path: Path) -> Path:
    photos = read_folder(builder.write(tmp_path / "unsealed")).photos
    write_folder(builder.sealed(), photos, tmp_path / "sealed")
    return tmp_path / "sealed"


def test_erased_photo_may_be_missing(tmp_path: Path) -> None:
    folder = write_sealed(erased_photo(), tmp_path)
    (folder / "photos/001.jpg").unlink()
    assert [name for name, _ in read_folder(folder).photos] == ["photos/Dach – Nord.JPG"]


def test_erasure_excuses_no_other_photo(tmp_path: Path) -> None:
    folder = write_sealed(erased_photo(), tmp_path)
    (folder / "photos/Dach – Nord.JPG").unlink()
    assert problem_of(folder).line == 11


def test_corrected_photo_that_was_erased_may_be_missing(tmp_path: Path) -> None:
    builder = erased_photo()
    body = {"file": "photos/001.jpg", "stage": "laminate", "caption": "Eaves"}
    builder.add("correction", corrects=builder.id_of(9), body=body)
    folder = write_sealed(builder, tmp_path)
    (folder / "photos/001.jpg").unlink()
    assert fold(read_folder(folder).record).photos[0].body.caption == "Eaves"


def test_sealed_folder_reads_back_as_it_was(tmp_path: Path) -> None:
    folder = write_sealed(with_photos(), tmp_path)
    assert {path.name for path in folder.iterdir()} == {"record.jsonl", "personal.jsonl", "photos"}
    assert read_folder(folder).record == with_photos().sealed()


def test_export_of_an_import_gives_the_same_bytes(tmp_path: Path) -> None:
    first = write_sealed(with_photos(), tmp_path)
    read = read_folder(first)
    second = tmp_path / "second"
    write_folder(read.record, read.photos, second)
    names = [path.relative_to(first) for path in everything_in(first)]
    assert [path.relative_to(second) for path in everything_in(second)] == names
    for name in names:
        if (first / name).is_file():
            assert (second / name).read_bytes() == (first / name).read_bytes()


def test_changed_entry_in_a_folder_is_refused(tmp_path: Path) -> None:
    folder = write_sealed(with_photos(), tmp_path)
    file = folder / "record.jsonl"
    file.write_text(file.read_text("utf-8").replace('"quantity":60', '"quantity":61'), "utf-8")
    problem = problem_of(folder)
    assert (problem.line, problem.field) == (6, "hash")


def test_record_is_written_one_canonical_line_an_entry(folder: Path) -> None:
    content = (folder / "record.jsonl").read_bytes()
    assert content.decode() == record_text(with_photos().record().entries)
    assert content.count(b"\n") == 11
    assert list(json.loads(content.splitlines()[0])) == ["at", "body", "by", "id", "kind"]


def test_written_folder_can_be_entered_by_others(folder: Path) -> None:
    assert folder.stat().st_mode & 0o777 == 0o755


def test_existing_folder_is_never_written_to(folder: Path) -> None:
    before = everything_in(folder)
    with pytest.raises(UsageError, match="exists already; name a folder that does not"):
        write_folder(RecordBuilder.opened().record(), (), folder)
    assert everything_in(folder) == before


def test_failure_midway_leaves_nothing(tmp_path: Path) -> None:
    record = with_photos().record()
    missing = tmp_path / "nowhere.jpg"
    with pytest.raises(UsageError, match=r"nowhere\.jpg.*Nothing was left behind"):
        write_folder(record, [("photos/001.jpg", missing)], tmp_path / "a-job")
    assert everything_in(tmp_path) == []


def test_interruption_midway_leaves_nothing(tmp_path: Path) -> None:
    def photos() -> object:
        raise KeyboardInterrupt
        yield

    with pytest.raises(KeyboardInterrupt):
        write_folder(with_photos().record(), photos(), tmp_path / "a-job")  # type: ignore[arg-type]
    assert everything_in(tmp_path) == []


def test_place_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(UsageError, match="cannot be made"):
        write_folder(RecordBuilder.opened().record(), (), tmp_path / "file" / "a-job")
