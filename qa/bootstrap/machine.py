"""What the bootstrap asks of the machine, as one value, so that a test can hand in another."""

from __future__ import annotations

import ctypes
import os
import platform
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import NoReturn

BREW_FOLDERS = ("/opt/homebrew/lib", "/usr/local/lib")
"""Where libraries lie on macOS that the loader does not look for by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How a program ended.

    Attributes:
        status: its exit status.
        text: what it printed, both streams together.
    """

    status: int
    text: str = ""

    @property
    def is_good(self) -> bool:
        """Whether it ended well."""
        return self.status == 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The machine as the bootstrap sees it.

    Attributes:
        system: "Linux", "Darwin" or another name the system gives itself.
        distribution: the distribution's own short name, such as "debian"; empty if unknown.
        python: the interpreter that runs the bootstrap.
        has_library: whether a shared library of that name can be loaded.
        has_program: whether `program_at` finds a program of that name.
        has_module: whether Python has a module of that name.
        elevation: the words to put before a command to run it as root, or None if not allowed.
        run: runs a program silently and returns how it ended.
        show: runs a program in sight of the user and returns its exit status.
        enter: makes a folder the current one.
        become: ends the bootstrap and runs a program in its place.
        pause: waits so many seconds.
        say: tells the user a sentence.
    """

    system: str
    distribution: str
    python: str
    has_library: Callable[[str], bool]
    has_program: Callable[[str], bool]
    has_module: Callable[[str], bool]
    elevation: Callable[[], tuple[str, ...] | None]
    run: Callable[[Sequence[str]], Outcome]
    show: Callable[[Sequence[str]], int]
    enter: Callable[[Path], None]
    become: Callable[[Sequence[str]], NoReturn]
    pause: Callable[[float], None]
    say: Callable[[str], None]


def this_machine() -> Machine:
    """Return the machine that the bootstrap runs on."""
    return Machine(
        system=platform.system(),
        distribution=_distribution(),
        python=sys.executable,
        has_library=_has_library,
        has_program=lambda name: program_at(name) is not None,
        has_module=lambda name: find_spec(name) is not None,
        elevation=_elevation,
        run=_run,
        show=lambda command: subprocess.run(command, check=False).returncode,
        enter=os.chdir,
        become=_become,
        pause=time.sleep,
        say=lambda sentence: print(sentence, file=sys.stderr, flush=True),
    )


def program_at(name: str) -> Path | None:
    """Find a program that can be run.

    Args:
        name: its name, its path, or a path with asterisks where a version stands; of several
            that fit, the last by its numbers is taken.

    Returns:
        Where it is, or None.
    """
    places = [name]
    if "*" in name:
        places = sorted(map(str, Path("/").glob(name.lstrip("/"))), key=_numbers)
    found = [place for place in map(shutil.which, places) if place]
    return Path(found[-1]) if found else None


def _numbers(place: str) -> list[int]:
    return [int(digits) for digits in re.findall(r"\d+", place)]


def _distribution() -> str:
    try:
        return platform.freedesktop_os_release().get("ID", "")
    except OSError:
        return ""


def _has_library(name: str) -> bool:
    places = [name]
    if platform.system() == "Darwin":
        places += [f"{folder}/{name}" for folder in BREW_FOLDERS]
    return any(_loads(place) for place in places)


def _loads(place: str) -> bool:
    try:
        ctypes.CDLL(place)
    except OSError:
        return False
    return True


def _elevation() -> tuple[str, ...] | None:
    """Root needs no word, a user with sudo that asks for no password needs two, others may not."""
    if os.geteuid() == 0:
        return ()
    if shutil.which("sudo") and _run(["sudo", "-n", "true"]).is_good:
        return ("sudo", "-n")
    return None


def _run(command: Sequence[str]) -> Outcome:
    done = subprocess.run(
        command,
        check=False,
        # Handles made inheritable on purpose go along, no others: see the hold in `environment`.
        close_fds=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    )
    return Outcome(status=done.returncode, text=done.stdout)


def _become(command: Sequence[str]) -> NoReturn:
    environ = dict(os.environ)
    if platform.system() == "Darwin" and "DYLD_FALLBACK_LIBRARY_PATH" not in environ:
        # WeasyPrint finds Pango by the loader's search path, on which Homebrew's folder is not.
        environ["DYLD_FALLBACK_LIBRARY_PATH"] = os.pathsep.join((*BREW_FOLDERS, "/usr/lib"))
    sys.stdout.flush()
    sys.stderr.flush()
    program = Path(command[0])
    os.execve(program, list(command), environ)  # noqa: S606 - the program is our own interpreter
