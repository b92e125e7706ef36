"""The project's own Python environment in `.venv`: made, filled from a lock, mended.

Steps, in this order, so that a run cut short anywhere is mended by the next one:

1. take the checkout's lock, so that two runs do not fill one environment at once;
2. remove an environment that was left unfinished or cannot run;
3. write "unfinished" into the stamp;
4. make the environment, install the lock, put the checkout on its path, write the launcher;
5. write the stamp.
"""

from __future__ import annotations

import fcntl
import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from qa.bootstrap.lock import UNFINISHED, Lock, is_stamped, pins, stamp
from qa.bootstrap.machine import Machine
from qa.bootstrap.parts import VENV, Part
from qa.errors import SetupError

OLDEST_PYTHON = (3, 11)

# The first lines are a command to the shell and a text to Python: the environment's interpreter is
# found beside the launcher, whatever the folder is called and wherever it was moved.
LAUNCHER = """\
#!/bin/sh
'''exec' "$(dirname "$0")/python" "$0" "$@"
' '''
import sys

from qa.cli import main

sys.exit(main())
"""

_VERSION = re.compile(r"^version(?:_info)?\s*=\s*(\d+)\.(\d+)", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Environment:
    """The environment of one checkout.

    Attributes:
        root: the checkout's folder.
    """

    root: Path

    @property
    def folder(self) -> Path:
        """Where the environment lies."""
        return self.root / ".venv"

    @property
    def python(self) -> Path:
        """The environment's interpreter."""
        return self.program("python")

    @property
    def launcher(self) -> Path:
        """The program `laidtrue`."""
        return self.program("laidtrue")

    @property
    def stamp(self) -> Path:
        """The file that says which locks are installed."""
        return self.folder / "laidtrue-stamp"

    def program(self, name: str) -> Path:
        """Return the place of a program that a package brought."""
        return self.folder / "bin" / name

    def site_packages(self) -> tuple[Path, ...]:
        """Return the folders that hold packages; none before the environment is made."""
        return tuple(sorted(self.folder.glob("lib/python3.*/site-packages")))


def prepare(environment: Environment, lock: Lock, machine: Machine) -> None:
    """Make sure that the environment holds a lock as it stands now.

    Raises:
        SetupError: the environment could not be made, or a package could not be installed.
    """
    if _is_prepared(environment, lock):
        return
    with _alone(environment.root, machine):
        if not _is_prepared(environment, lock):
            _fill(environment, lock, machine)


def parts_to_make(environment: Environment) -> tuple[Part, ...]:
    """Return the parts of the system that making the environment needs; none if it is made."""
    return VENV if _needs_making(environment) else ()


def is_sound(environment: Environment) -> bool:
    """Tell whether the environment can run: its interpreter, new enough, and pip are there."""
    try:
        configuration = (environment.folder / "pyvenv.cfg").read_text(encoding="utf-8")
    except OSError:
        return False
    version = _VERSION.search(configuration)
    if version is None or (int(version[1]), int(version[2])) < OLDEST_PYTHON:
        return False
    has_pip = any((place / "pip" / "__main__.py").exists() for place in environment.site_packages())
    return has_pip and environment.python.exists()


def _is_prepared(environment: Environment, lock: Lock) -> bool:
    text = _stamp_text(environment)
    return is_stamped(text, lock, environment.root, LAUNCHER) and environment.python.exists()


def _needs_making(environment: Environment) -> bool:
    return _stamp_text(environment) == UNFINISHED or not is_sound(environment)


def _stamp_text(environment: Environment) -> str:
    try:
        return environment.stamp.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ""


@contextmanager
def _alone(root: Path, machine: Machine) -> Iterator[None]:
    """Hold the checkout's folder; the system lets go of it even when the program is killed.

    The programs run meanwhile inherit the hold, so a pip that outlives us is waited for.
    """
    handle = os.open(root, os.O_RDONLY)
    try:
        os.set_inheritable(handle, True)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            machine.say("Another run is filling .venv; waiting for it …")
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _fill(environment: Environment, lock: Lock, machine: Machine) -> None:
    before = _stamp_text(environment)
    if _needs_making(environment):
        if environment.folder.exists():
            shutil.rmtree(environment.folder)
        environment.folder.mkdir()
        before = ""
        environment.stamp.write_text(UNFINISHED, encoding="utf-8")
        _make(environment, machine)
    environment.stamp.write_text(UNFINISHED, encoding="utf-8")
    try:
        _install(environment, lock, machine)
    except SetupError:
        # pip fetches everything before it changes anything: what was there is still whole.
        environment.stamp.write_text(before, encoding="utf-8")
        raise
    _connect(environment)
    done = stamp(lock, environment.root, LAUNCHER)
    environment.stamp.write_text(done, encoding="utf-8")


def _make(environment: Environment, machine: Machine) -> None:
    outcome = machine.run([machine.python, "-m", "venv", str(environment.folder)])
    if not outcome.is_good:
        raise SetupError(
            f"{outcome.text.strip()}\nPython could not make {environment.folder}; it said why "
            f"above. Mend that and run the same command again."
        )


def _install(environment: Environment, lock: Lock, machine: Machine) -> None:
    """Install a lock by plain pip: no file without its digest, nothing built that need not be."""
    path = lock.path(environment.root)
    number = len({pin.package for pin in pins(path.read_text(encoding="utf-8"))})
    packages = "1 package" if number == 1 else f"{number} packages"
    machine.say(f"Installing {packages} into .venv …")
    pip = (str(environment.python), "-m", "pip", "--disable-pip-version-check", "--no-input")
    options = ["-qq", "--require-hashes", "--only-binary", ":all:", "--use-pep517"]
    for source in lock.sources:
        options += ["--no-binary", source]
    outcome = machine.run([*pip, "install", *options, "--requirement", str(path)])
    if not outcome.is_good:
        raise SetupError(
            f"{outcome.text.strip()}\nThe packages of {path.name} could not be installed; pip said "
            f"why above. Check the network and the free space, then run the same command again."
        )


def _connect(environment: Environment) -> None:
    """Let the environment find the checkout, and the user find `laidtrue`."""
    for place in environment.site_packages():
        (place / "laidtrue.pth").write_text(f"{environment.root}\n", encoding="utf-8")
    environment.launcher.write_text(LAUNCHER, encoding="utf-8")
    environment.launcher.chmod(0o755)
