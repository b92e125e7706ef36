"""Each word leads to its program, in an environment that holds what the program needs."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from qa.bootstrap.commands import ROOT, follow, is_checkout
from qa.bootstrap.environment import LAUNCHER, Environment
from qa.bootstrap.lock import DEVELOPMENT, LOCKING, RUNTIME, stamp
from qa.bootstrap.machine import Outcome
from qa.errors import SetupError
from tests.unit.bootstrap.fake_machine import BecameError, FakeMachine

PARTS = {
    *("libpango-1.0.so.0", "libpangoft2-1.0.so.0", "libharfbuzz-subset.so.0"),
    *("initdb", "chromium", "pdftoppm", "qpdf", "gcc"),
}


@pytest.fixture
def environment(tmp_path: Path) -> Environment:
    """An environment in which every lock is installed."""
    (tmp_path / ".lock").mkdir()
    made = Environment(root=tmp_path)
    made.python.parent.mkdir(parents=True)
    made.python.touch()
    pip = made.folder / "lib" / "python3.11" / "site-packages" / "pip"
    pip.mkdir(parents=True)
    (pip / "__main__.py").touch()
    (made.folder / "pyvenv.cfg").write_text("version = 3.11.2\n")
    for lock in (RUNTIME, DEVELOPMENT, LOCKING):
        lock.path(tmp_path).touch()
    stamps = [stamp(lock, tmp_path, LAUNCHER) for lock in (DEVELOPMENT, LOCKING)]
    made.stamp.write_text("".join(stamps))
    return made


def _became(environment: Environment, *words: str) -> tuple[str, ...]:
    with pytest.raises(BecameError) as became:
        follow(words, environment, FakeMachine(has=PARTS).machine())
    assert became.value.command[0] == str(environment.python)
    return became.value.command[1:]


def test_unknown_word_is_handed_to_laidtrue(environment: Environment) -> None:
    assert _became(environment, "demo", "--out", "x") == (
        *(str(environment.launcher), "demo", "--out", "x"),
    )


def test_no_word_is_handed_to_laidtrue(environment: Environment) -> None:
    assert _became(environment) == (str(environment.launcher),)


def test_tests_run_in_two_processes(environment: Environment) -> None:
    assert _became(environment, "test", "-k", "fall") == ("-m", "pytest", "-n", "2", "-k", "fall")


def test_benchmarks_are_handed_their_names(environment: Environment) -> None:
    assert _became(environment, "bench", "pack") == ("-m", "tests.bench", "pack")


def test_pictures_are_handed_their_names(environment: Environment) -> None:
    assert _became(environment, "pictures", "roof") == ("-m", "tests.pictures", "roof")


def test_fuzzing_is_handed_its_number(environment: Environment) -> None:
    assert _became(environment, "fuzz", "500") == ("-m", "tests.flow.fuzzing", "500")


def test_demo_needs_no_browser(environment: Environment) -> None:
    libraries = {part for part in PARTS if part.startswith("lib")}
    with pytest.raises(BecameError):
        follow(["demo"], environment, FakeMachine(has=libraries).machine())


def test_all_parts_missing_are_named_at_once(environment: Environment) -> None:
    (environment.folder / "pyvenv.cfg").unlink()
    with pytest.raises(SetupError, match=r"lacks ensurepip, libpango.*-venv libpango.* libc6-dev$"):
        follow(["test"], environment, FakeMachine(has={"apt-get"}).machine())


def test_lint_runs_every_check_after_a_failure(environment: Environment) -> None:
    def answer(command: Sequence[str]) -> Outcome:
        return Outcome(status=1 if "format" in command else 0)

    fake = FakeMachine(answer=answer)
    assert follow(["lint"], environment, fake.machine()) == 1
    assert [command[-1] for command in fake.commands[:3]] == [".", ".", "mypy"]
    assert fake.commands[3][-1].endswith("lint-imports")
    assert fake.entered == [environment.root]


def test_lint_without_findings_ends_well(environment: Environment) -> None:
    assert follow(["lint"], environment, FakeMachine().machine()) == 0


def test_lint_refuses_arguments_it_would_ignore(environment: Environment) -> None:
    with pytest.raises(SetupError, match="lint takes no arguments, and was given: qa/trade"):
        follow(["lint", "qa/trade"], environment, FakeMachine().machine())


def test_lock_writes_every_lock_for_every_python(environment: Environment) -> None:
    fake = FakeMachine()
    assert follow(["lock", "--upgrade"], environment, fake.machine()) == 0
    written = [command[command.index("--output-file") + 1] for command in fake.commands]
    assert written == [".lock/runtime.txt", ".lock/development.txt", ".lock/locking.txt"]
    for command in fake.commands:
        assert {"--universal", "--generate-hashes", "--no-emit-index-url"} <= set(command)
        assert command[-1] == "--upgrade"


def test_lock_that_cannot_be_met_is_explained(environment: Environment) -> None:
    fake = FakeMachine(answer=lambda command: Outcome(status=1, text="no versions agree"))
    with pytest.raises(SetupError, match=r"no versions agree\n.lock/runtime.txt could not be"):
        follow(["lock"], environment, fake.machine())


def test_bootstrap_stands_on_the_standard_library_alone() -> None:
    program = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import qa.bootstrap.commands"
    done = subprocess.run([sys.executable, "-I", "-S", "-c", program], check=False)
    assert done.returncode == 0


@pytest.mark.parametrize("module", ["__init__.py", "__main__.py"])
def test_python_too_old_can_read_the_reason(module: str) -> None:
    ast.parse((ROOT / "qa" / module).read_text(encoding="utf-8"), feature_version=(3, 7))


def test_checkout_is_told_from_an_installed_package() -> None:
    assert is_checkout()
