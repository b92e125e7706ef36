"""Zip files of job folders: out in fixed bytes, in only where they hold a job folder."""

from __future__ import annotations

import io
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from qa.errors import NotAllowedError, NotFoundError, RecordError
from qa.record.folder import read_folder
from qa.services.folder_zip import ZipLimits, unzip, zip_out
from qa.services.taking_in import take_in
from tests.flow.job_folder import small_job, write_job
from tests.house import NOON, House

RECORD = ("record.jsonl", b"{}\n")


def packed(*files: tuple[str, bytes], compress: int = zipfile.ZIP_DEFLATED) -> io.BytesIO:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", compress) as archive:
        for name, content in files:
            archive.writestr(name, content)
    file.seek(0)
    return file


def refusal(file: io.BytesIO, folder: Path, limits: ZipLimits | None = None) -> str:
    folder.mkdir()
    with pytest.raises(RecordError) as refused:
        unzip(file, folder, limits=limits)
    return str(refused.value)


def test_folder_goes_out_in_the_same_bytes(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    job = take_in(house.installation, house.omar, written, now=NOON)
    first, second = io.BytesIO(), io.BytesIO()
    for out in (first, second):
        zip_out(house.installation, house.omar, job, out)
    assert first.getvalue() == second.getvalue()
    with zipfile.ZipFile(first) as archive:
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}
        assert archive.namelist()[0].endswith("/record.jsonl")
        assert archive.namelist()[1].endswith("/personal.jsonl")


def test_folder_that_went_out_comes_in_whole(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    job = take_in(house.installation, house.omar, written, now=NOON)
    out, folder = io.BytesIO(), tmp_path / "in"
    zip_out(house.installation, house.omar, job, out)
    folder.mkdir()
    unzip(out, folder)
    assert len(read_folder(folder).record.entries) == len(read_folder(written).record.entries)
    take_in(house.installation, house.rival, folder, now=NOON)


def test_folder_goes_out_only_to_who_may_have_it(house: House, tmp_path: Path) -> None:
    written = write_job(tmp_path / "written", small_job())
    job = take_in(house.installation, house.omar, written, now=NOON)
    with pytest.raises(NotAllowedError):
        zip_out(house.installation, house.ines, job, io.BytesIO())
    with pytest.raises(NotFoundError):
        zip_out(house.installation, house.rival, job, io.BytesIO())


def test_files_of_machines_are_passed_over(tmp_path: Path) -> None:
    names = ("job/.DS_Store", "__MACOSX/job/._record.jsonl", "job/photos/.DS_Store")
    file = packed(("job/record.jsonl", b"{}"), *((name, b"x") for name in names))
    folder = tmp_path / "in"
    folder.mkdir()
    unzip(file, folder)
    assert (folder / "record.jsonl").read_bytes() == b"{}"
    assert not list((folder / "photos").iterdir())


@pytest.mark.parametrize(
    "name",
    [
        "../record.jsonl",
        "/etc/passwd",
        "photos/../../x.jpg",
        "photos/..",
        "photos/deeper/x.jpg",
        "photos\\x.jpg",
        "photos/a\nb.jpg",
        "photos/" + "x" * 300,
        "notes.txt",
        "./record.jsonl",
    ],
)
def test_name_that_is_of_no_job_folder_is_refused(name: str, tmp_path: Path) -> None:
    told = refusal(packed(RECORD, (name, b"x")), tmp_path / "in")
    assert "is no file of a job folder" in told
    assert sorted(path.name for path in tmp_path.rglob("*")) == ["in"]


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("second", ["photos/x.jpg", "photos/X.JPG"])
def test_same_name_twice_is_refused(second: str, tmp_path: Path) -> None:
    file = packed(RECORD, ("photos/x.jpg", b"1"), (second, b"2"))
    assert "holds this name twice" in refusal(file, tmp_path / "in")


def test_link_is_refused(tmp_path: Path) -> None:
    info = zipfile.ZipInfo("photos/x.jpg")
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr(*RECORD)
        archive.writestr(info, b"/etc/passwd")
    assert "is a link" in refusal(file, tmp_path / "in")


@pytest.mark.parametrize(
    ("limits", "told"),
    [
        (ZipLimits(files=1), "holds 2 files; at most 1 are taken"),
        (ZipLimits(bytes=1000), "unpacks to more than 0 MB"),
        (ZipLimits(file_bytes=1000), "photos/x.jpg: unpacks to more than is taken"),
    ],
)
def test_more_than_is_taken_is_refused(limits: ZipLimits, told: str, tmp_path: Path) -> None:
    file = packed(RECORD, ("photos/x.jpg", b"0" * 100_000))
    assert told in refusal(file, tmp_path / "in", limits)


def _lying(file: io.BytesIO) -> io.BytesIO:
    """The same zip whose directory states that every file has one byte."""
    content = bytearray(file.getvalue())
    at = content.find(b"PK\x01\x02")
    while at >= 0:
        content[at + 24 : at + 28] = (1).to_bytes(4, "little")
        at = content.find(b"PK\x01\x02", at + 4)
    return io.BytesIO(bytes(content))


def _cut(file: io.BytesIO) -> io.BytesIO:
    return io.BytesIO(file.getvalue()[:-30])


def _changed(file: io.BytesIO) -> io.BytesIO:
    content = bytearray(file.getvalue())
    content[60] ^= 0xFF
    return io.BytesIO(bytes(content))


@pytest.mark.parametrize("spoil", [_lying, _cut, _changed])
def test_zip_that_is_spoilt_is_refused(
    spoil: Callable[[io.BytesIO], io.BytesIO], tmp_path: Path
) -> None:
    sound = packed(("record.jsonl", b"0123456789" * 20), compress=zipfile.ZIP_STORED)
    assert "is no zip file that can be read whole" in refusal(spoil(sound), tmp_path / "in")


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"PK\x03\x04"])
def test_what_is_no_zip_is_refused(content: bytes, tmp_path: Path) -> None:
    assert "is no zip file" in refusal(io.BytesIO(content), tmp_path / "in")


def test_zip_without_a_record_is_refused(tmp_path: Path) -> None:
    told = refusal(packed(("photos/x.jpg", b"x")), tmp_path / "in")
    assert "record.jsonl" in told
