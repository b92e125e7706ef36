"""The commands by which an installation is filled, emptied, backed up, restored and repaired."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
from pathlib import Path

import pytest

from qa.cli import main
from qa.services.installation import Installation, open_installation
from qa.settings import Settings
from qa.store.accounts import FirmAtRest, add_firm
from tests.flow.job_folder import COMMAND, draw_picture, environment, small_job, write_job
from tests.house import open_house
from tests.postgres import PostgresServer
from tests.specifications import firm_file
from tests.unit.store.entry_rows import NOON

Captured = pytest.CaptureFixture[str]
REFERENCE = "J-2026-014"
"""The job of `tests.factories`."""


@pytest.fixture
def instance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of an installation that every command of the test works on."""
    folder = tmp_path / "instance"
    _use(folder, monkeypatch)
    return folder


def _use(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LAIDTRUE_INSTANCE", str(folder))
    monkeypatch.delenv("LAIDTRUE_DATABASE", raising=False)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return write_job(tmp_path / "job", small_job())


def _opened(instance: Path) -> Installation:
    return open_installation(Settings(instance=instance))


def _add_firm(instance: Path, name: str) -> None:
    installation = _opened(instance)
    firm = FirmAtRest(id=name.lower(), name=name, address=None, phone=None, email=None)
    with installation.store.writing() as session:
        add_firm(session, firm, now=NOON)
    installation.store.engine.dispose()


@pytest.fixture
def filled(instance: Path, job: Path, capsys: Captured) -> Path:
    """An installation of one firm that has taken the job in."""
    _add_firm(instance, "Example")
    said(capsys, "import", job)
    return instance


def said(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 0, capsys.readouterr().err
    out, err = capsys.readouterr()
    assert err == ""
    return out


def refused(capsys: Captured, *arguments: str | Path) -> str:
    assert main([str(argument) for argument in arguments]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


def _do(instance: Path, *statements: str) -> None:
    """Statements of somebody who has the file and lifts every guard that is in the way."""
    with sqlite3.connect(instance / "laidtrue.db") as connection:
        for statement in statements:
            connection.execute(statement)
    connection.close()


def test_job_taken_in_and_out_is_the_same(
    filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    said(capsys, "export", REFERENCE, tmp_path / "out")
    _use(tmp_path / "another", monkeypatch)
    _add_firm(tmp_path / "another", "Another")
    said(capsys, "import", tmp_path / "out")
    said(capsys, "export", REFERENCE, tmp_path / "again")
    files = sorted(path for path in (tmp_path / "out").rglob("*") if path.is_file())
    assert len(files) >= 3
    for path in files:
        twin = tmp_path / "again" / path.relative_to(tmp_path / "out")
        assert path.read_bytes() == twin.read_bytes()


def test_same_folder_taken_in_twice_is_one_job(filled: Path, job: Path, capsys: Captured) -> None:
    once = said(capsys, "import", job)
    assert said(capsys, "import", job) == once
    assert said(capsys, "rebuild").startswith("1 job read")


def test_folder_brings_its_specification_along_and_says_so(
    instance: Path, tmp_path: Path, capsys: Captured
) -> None:
    open_house(instance).installation.store.engine.dispose()
    builder = small_job()
    builder.entries[0]["body"]["specification"] = "our-limits/1"
    job = write_job(tmp_path / "job", builder)
    firm = ("--firm", "Invented Roofs firm-1")
    assert "the job pins it" in refused(capsys, "import", job, *firm)
    (job / "specification.toml").write_bytes(firm_file())
    assert main(["import", str(job), *firm]) == 0
    assert "brought along the specification our-limits/1" in capsys.readouterr().err
    assert '"specification": "our-limits/1"' in said(capsys, "assess", job, "--json")


def test_folder_with_another_photo_is_another_job(
    filled: Path, job: Path, capsys: Captured
) -> None:
    (photo,) = (job / "photos").iterdir()
    draw_picture(photo, width_px=128)
    assert "is here already with another record" in refused(capsys, "import", job)


def test_job_of_the_installation_is_judged_like_its_folder(
    filled: Path, job: Path, tmp_path: Path, capsys: Captured
) -> None:
    said(capsys, "export", REFERENCE, tmp_path / "out")
    for option in ((), ("--json",)):
        kept = said(capsys, "assess", REFERENCE, *option)
        assert kept == said(capsys, "assess", tmp_path / "out", *option)


def test_pack_of_the_installation_is_the_pack_of_the_folder(
    filled: Path, tmp_path: Path, capsys: Captured
) -> None:
    said(capsys, "export", REFERENCE, tmp_path / "out")
    said(capsys, "pack", "handover", REFERENCE, "--out", tmp_path / "kept.pdf")
    said(capsys, "pack", "handover", tmp_path / "out", "--out", tmp_path / "folder.pdf")
    assert (tmp_path / "kept.pdf").read_bytes() == (tmp_path / "folder.pdf").read_bytes()


def test_reference_that_is_not_there_is_told(
    filled: Path, tmp_path: Path, capsys: Captured
) -> None:
    assert "This job is not there" in refused(capsys, "assess", "J-404")
    assert "This job is not there" in refused(capsys, "export", "J-404", tmp_path / "out")
    given = refused(capsys, "assess", REFERENCE, "--specification", tmp_path / "own.toml")
    assert "leave --specification out" in given


def test_nothing_is_installed_by_asking(instance: Path, capsys: Captured) -> None:
    assert "does not exist" in refused(capsys, "assess", "J-404")
    assert not instance.exists()


def test_firm_that_is_meant_must_be_said(instance: Path, job: Path, capsys: Captured) -> None:
    assert "no firm yet" in refused(capsys, "import", job)
    _add_firm(instance, "Example")
    _add_firm(instance, "Another")
    assert "--firm NAME: “Another”, “Example”." in refused(capsys, "import", job)
    assert "no firm “Third” here" in refused(capsys, "import", job, "--firm", "Third")
    said(capsys, "import", job, "--firm", "another")
    assert "This job is not there" in refused(capsys, "assess", REFERENCE, "--firm", "Example")
    assert REFERENCE in said(capsys, "assess", REFERENCE, "--firm", "Another")


def test_rebuild_mends_lists_and_names_the_job(filled: Path, capsys: Captured) -> None:
    assert said(capsys, "rebuild") == "1 job read from the first entry to the last\n"
    _do(filled, "UPDATE job SET title = 'spoilt'", "DELETE FROM open_finding")
    assert f"{REFERENCE}: its lists were wrong" in said(capsys, "rebuild")
    assert said(capsys, "rebuild") == "1 job read from the first entry to the last\n"


def test_work_once_does_what_is_due(filled: Path, capsys: Captured) -> None:
    assert said(capsys, "work", "--once").endswith("done\n")
    assert said(capsys, "work", "--once") == "0 tasks done\n"


def test_worker_ends_when_it_is_told_to(filled: Path) -> None:
    with subprocess.Popen(
        [*COMMAND, "work"], stdout=subprocess.PIPE, text=True, env=environment(filled)
    ) as worker:
        assert worker.stdout is not None
        assert worker.stdout.readline() == "Working; end it with Ctrl-C.\n"
        worker.send_signal(signal.SIGTERM)
        assert worker.wait(timeout=60) == 0


def test_backup_restores_to_the_same_installation(
    filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    assert said(capsys, "backup", tmp_path / "kept") == (
        f"{tmp_path / 'kept'}: the database, 1 originals, 0 packs and the keys\n"
    )
    said(capsys, "export", REFERENCE, tmp_path / "before")
    _use(tmp_path / "new", monkeypatch)
    out = said(capsys, "restore", tmp_path / "kept")
    assert "every chain holds" in out
    said(capsys, "export", REFERENCE, tmp_path / "after")
    for name in ("record.jsonl", "personal.jsonl"):
        before, after = tmp_path / "before" / name, tmp_path / "after" / name
        assert before.read_bytes() == after.read_bytes()
    key = Path("keys", "seal.key")
    assert (filled / key).read_bytes() == (tmp_path / "new" / key).read_bytes()
    assert (tmp_path / "new" / key).stat().st_mode & 0o777 == 0o600
    assert said(capsys, "rebuild") == "1 job read from the first entry to the last\n"


def test_backup_never_fills_a_folder_that_is_there(
    filled: Path, tmp_path: Path, capsys: Captured
) -> None:
    assert "exists already" in refused(capsys, "backup", tmp_path)
    for path in (filled / "originals").rglob("*"):
        if path.is_file():
            path.unlink()
    assert "missing" in refused(capsys, "backup", tmp_path / "kept")
    assert not [path for path in tmp_path.iterdir() if "kept" in path.name]


def test_backup_holds_nothing_that_was_erased(
    filled: Path, tmp_path: Path, capsys: Captured
) -> None:
    (shown,) = _personal(filled)
    _do(filled, "DELETE FROM disclosure")
    said(capsys, "backup", tmp_path / "kept")
    assert shown.encode() not in (tmp_path / "kept" / "laidtrue.db").read_bytes()


def _personal(instance: Path) -> list[str]:
    with sqlite3.connect(instance / "laidtrue.db") as connection:
        rows = connection.execute(
            "SELECT value FROM disclosure WHERE field LIKE '%address%' LIMIT 1"
        ).fetchall()
    connection.close()
    return [row[0].strip('"') for row in rows]


def test_restore_wants_an_empty_place_and_a_backup(
    filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    said(capsys, "backup", tmp_path / "kept")
    assert "holds an installation already" in refused(capsys, "restore", tmp_path / "kept")
    _use(tmp_path / "new", monkeypatch)
    assert "is no backup: it holds no laidtrue.db" in refused(capsys, "restore", tmp_path / "job")


def _past_the_guards(database: Path, statement: str) -> None:
    """Does what the guards refuse, and puts them back as they were, as a careful forger would."""
    with sqlite3.connect(database) as connection:
        guards = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement)
        for _, made_by in guards:
            connection.execute(made_by)
    connection.close()


FORGERIES = {
    "a changed word": (
        "UPDATE entry SET written = replace(written, '\"kg\":5', '\"kg\":6') WHERE kind = 'mix'",
        "its content was changed",
    ),
    "a lost entry": ("DELETE FROM entry WHERE seq = 3", "an entry is missing or out of order"),
    "a lost last entry": (
        "DELETE FROM entry WHERE seq = (SELECT max(seq) FROM entry)",
        "entries are missing at its end",
    ),
    "a row unlike its entry": (
        f"UPDATE entry SET hash = '{'a' * 64}' WHERE seq = 3",
        "its rows are not those of the entries",
    ),
    "a changed address": (
        "UPDATE disclosure SET value = '\"12 Other Road\"' WHERE field LIKE '%address%'",
        "personal",
    ),
}


@pytest.mark.parametrize(("statement", "sentence"), FORGERIES.values(), ids=FORGERIES)
def test_forged_backup_is_not_restored(
    statement: str,
    sentence: str,
    filled: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Captured,
) -> None:
    said(capsys, "backup", tmp_path / "kept")
    _past_the_guards(tmp_path / "kept" / "laidtrue.db", statement)
    _use(tmp_path / "new", monkeypatch)
    told = refused(capsys, "restore", tmp_path / "kept")
    assert f"Job “{REFERENCE}”" in told
    assert sentence in told
    assert "Nothing was restored" in told
    assert not list((tmp_path / "new").glob("laidtrue.db*"))


@pytest.mark.parametrize("harm", ["changed", "lost"])
def test_backup_without_its_photos_is_not_restored(
    harm: str, filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    said(capsys, "backup", tmp_path / "kept")
    (photo,) = (path for path in (tmp_path / "kept" / "originals").glob("??/??/*"))
    if harm == "lost":
        photo.unlink()
    else:
        photo.write_bytes(photo.read_bytes() + b"!")
    _use(tmp_path / "new", monkeypatch)
    told = refused(capsys, "restore", tmp_path / "kept")
    assert photo.name in told
    assert "Nothing was restored" in told


def test_damaged_restore_can_be_done_again(
    filled: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    said(capsys, "backup", tmp_path / "kept")
    said(capsys, "backup", tmp_path / "older")
    (photo,) = (path for path in (tmp_path / "kept" / "originals").glob("??/??/*"))
    photo.unlink()
    _use(tmp_path / "new", monkeypatch)
    refused(capsys, "restore", tmp_path / "kept")
    assert "every chain holds" in said(capsys, "restore", tmp_path / "older")


def test_lifted_guard_stops_every_command(filled: Path, capsys: Captured) -> None:
    _do(filled, "DROP TRIGGER entry_kept")
    for words in (("rebuild",), ("assess", REFERENCE), ("backup", str(filled / "kept"))):
        assert "no longer guards the record: entry_kept" in refused(capsys, *words)


def test_server_is_backed_up_by_its_own_tools(
    instance: Path,
    tmp_path: Path,
    postgres: PostgresServer,
    monkeypatch: pytest.MonkeyPatch,
    capsys: Captured,
) -> None:
    with postgres.database() as url:
        monkeypatch.setenv("LAIDTRUE_DATABASE", url)
        assert "pg_dump" in refused(capsys, "backup", tmp_path / "kept")
        assert "pg_restore" in refused(capsys, "restore", tmp_path / "kept")
        assert said(capsys, "rebuild").startswith("0 jobs read")
