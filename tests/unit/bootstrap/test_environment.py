"""The environment is filled once, mended when cut short, and left alone when it is right."""

from __future__ import annotations

import fcntl
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest

from qa.bootstrap.environment import LAUNCHER, Environment, _alone, is_sound, parts_to_make, prepare
from qa.bootstrap.lock import DEVELOPMENT, RUNTIME, UNFINISHED
from qa.bootstrap.machine import Outcome
from qa.errors import SetupError
from tests.unit.bootstrap.fake_machine import FakeMachine

GOOD = Outcome(status=0)
OFFLINE = Outcome(status=1, text="ERROR: no matching distribution")


@pytest.fixture
def environment(tmp_path: Path) -> Environment:
    (tmp_path / ".lock").mkdir()
    RUNTIME.path(tmp_path).write_text("click==8.2.0\n")
    DEVELOPMENT.path(tmp_path).write_text("click==8.2.0\npsychrolib==2.5.0\n")
    return Environment(root=tmp_path)


def _make(environment: Environment, version: str = "3.11.2") -> None:
    """Leave on the disk what Python's venv module leaves."""
    pip = environment.folder / "lib" / "python3.11" / "site-packages" / "pip"
    pip.mkdir(parents=True)
    (pip / "__main__.py").touch()
    (environment.folder / "bin").mkdir()
    environment.python.touch()
    (environment.folder / "pyvenv.cfg").write_text(f"home = /usr/bin\nversion = {version}\n")


def _fake(environment: Environment, pip: Outcome = GOOD) -> FakeMachine:
    def answer(command: Sequence[str]) -> Outcome:
        if "venv" in command:
            _make(environment)
            return GOOD
        return pip

    return FakeMachine(answer=answer)


def _interrupted(command: Sequence[str]) -> Outcome:
    raise KeyboardInterrupt


def test_first_preparation_makes_and_fills_the_environment(environment: Environment) -> None:
    fake = _fake(environment)
    prepare(environment, RUNTIME, fake.machine())
    making, installing = fake.commands
    assert making == ("python3", "-m", "venv", str(environment.folder))
    assert installing[:4] == (str(environment.python), "-m", "pip", "--disable-pip-version-check")
    assert fake.said == ["Installing 1 package into .venv …"]


def test_packages_are_installed_by_digest_only(environment: Environment) -> None:
    fake = _fake(environment)
    prepare(environment, RUNTIME, fake.machine())
    assert {"--require-hashes", "--only-binary"} <= set(fake.commands[-1])
    assert "--no-binary" not in fake.commands[-1]


def test_only_packages_named_are_built_from_source(environment: Environment) -> None:
    fake = _fake(environment)
    prepare(environment, DEVELOPMENT, fake.machine())
    command = fake.commands[-1]
    assert command[command.index("--no-binary") + 1] == "psychrolib"
    assert command.count("--no-binary") == 1


def test_second_preparation_runs_nothing(environment: Environment) -> None:
    prepare(environment, RUNTIME, _fake(environment).machine())
    fake = _fake(environment)
    prepare(environment, RUNTIME, fake.machine())
    assert fake.commands == []


def test_changed_lock_is_installed_into_the_same_environment(environment: Environment) -> None:
    prepare(environment, RUNTIME, _fake(environment).machine())
    RUNTIME.path(environment.root).write_text("click==8.2.1\n")
    fake = _fake(environment)
    prepare(environment, RUNTIME, fake.machine())
    assert ["pip" in command for command in fake.commands] == [True]


def test_environment_made_by_hand_is_kept(environment: Environment) -> None:
    _make(environment)
    (environment.folder / "kept").touch()
    prepare(environment, RUNTIME, _fake(environment).machine())
    assert (environment.folder / "kept").exists()


def test_interrupted_environment_is_made_anew(environment: Environment) -> None:
    _make(environment)
    (environment.folder / "half").touch()
    with pytest.raises(KeyboardInterrupt):
        prepare(environment, RUNTIME, FakeMachine(answer=_interrupted).machine())
    assert environment.stamp.read_text() == UNFINISHED
    prepare(environment, RUNTIME, _fake(environment).machine())
    assert not (environment.folder / "half").exists()
    assert environment.stamp.read_text().startswith("runtime ")


def test_two_runs_do_not_fill_one_environment_at_once(environment: Environment) -> None:
    """The second waits for the first, and then finds nothing left to do."""
    first, second = _fake(environment), _fake(environment)
    pip = first.answer
    started, told = Event(), Event()

    def slow(command: Sequence[str]) -> Outcome:
        started.set()
        assert told.wait(timeout=60)
        return pip(command)

    first.answer = slow
    waiting = replace(
        second.machine(), say=lambda sentence: (second.said.append(sentence), told.set())
    )
    with ThreadPoolExecutor() as threads:
        filling = threads.submit(prepare, environment, RUNTIME, first.machine())
        assert started.wait(timeout=60)
        prepare(environment, RUNTIME, waiting)
        filling.result()
    assert second.said == ["Another run is filling .venv; waiting for it …"]
    assert second.commands == []


def test_program_that_outlives_us_keeps_the_hold(environment: Environment) -> None:
    with _alone(environment.root, _fake(environment).machine()):
        running = subprocess.Popen(["cat"], stdin=subprocess.PIPE, close_fds=False)
    other = os.open(environment.root, os.O_RDONLY)
    with pytest.raises(BlockingIOError):
        fcntl.flock(other, fcntl.LOCK_EX | fcntl.LOCK_NB)
    running.communicate()
    fcntl.flock(other, fcntl.LOCK_EX | fcntl.LOCK_NB)
    os.close(other)


def test_failed_download_keeps_what_was_there(environment: Environment) -> None:
    prepare(environment, RUNTIME, _fake(environment).machine())
    before = environment.stamp.read_text()
    RUNTIME.path(environment.root).write_text("click==8.2.1\n")
    with pytest.raises(SetupError, match=r"no matching distribution\nThe packages of runtime.txt"):
        prepare(environment, RUNTIME, _fake(environment, pip=OFFLINE).machine())
    assert environment.stamp.read_text() == before


def test_making_needs_what_the_system_may_have_left_out(environment: Environment) -> None:
    (part,) = parts_to_make(environment)
    assert part.names == ("ensurepip",)
    assert re.fullmatch(r"python3\.\d+-venv", part.debian)


def test_environment_once_made_needs_no_part(environment: Environment) -> None:
    _make(environment)
    assert parts_to_make(environment) == ()


def test_unfinished_environment_needs_its_parts_again(environment: Environment) -> None:
    _make(environment)
    environment.stamp.write_text(UNFINISHED)
    assert parts_to_make(environment) != ()


def test_failed_making_quotes_the_reason(environment: Environment) -> None:
    fake = FakeMachine(answer=lambda command: Outcome(status=1, text="no space left"))
    with pytest.raises(SetupError, match=r"no space left\nPython could not make"):
        prepare(environment, RUNTIME, fake.machine())


def test_environment_of_an_older_python_is_unsound(environment: Environment) -> None:
    _make(environment, version="3.10.9")
    assert not is_sound(environment)


def test_environment_whose_python_went_away_is_unsound(environment: Environment) -> None:
    _make(environment)
    environment.python.unlink()
    environment.python.symlink_to(environment.root / "removed")
    assert not is_sound(environment)


def test_environment_without_pip_is_unsound(environment: Environment) -> None:
    _make(environment)
    (environment.site_packages()[0] / "pip" / "__main__.py").unlink()
    assert not is_sound(environment)


def test_environment_learns_where_the_checkout_is(environment: Environment) -> None:
    prepare(environment, RUNTIME, _fake(environment).machine())
    (path_file,) = environment.site_packages()[0].glob("*.pth")
    assert path_file.read_text() == f"{environment.root}\n"


def test_launcher_runs_from_a_folder_with_spaces(tmp_path: Path) -> None:
    programs = tmp_path / "a roof" / "bin"
    programs.mkdir(parents=True)
    (programs / "python").symlink_to(sys.executable)
    launcher = programs / "laidtrue"
    launcher.write_text(LAUNCHER)
    launcher.chmod(0o755)
    (tmp_path / "qa").mkdir()
    (tmp_path / "qa" / "cli.py").write_text(
        "import sys\ndef main():\n    print(sys.argv[1:])\n    return 3\n"
    )
    done = subprocess.run(
        [launcher, "demo", "two words"],
        check=False,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
    )
    assert (done.returncode, done.stdout) == (3, "['demo', 'two words']\n")
