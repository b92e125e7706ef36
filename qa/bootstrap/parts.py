"""The parts that no Python package carries and that must come from the system.

The names of libraries are those under which WeasyPrint 70.0 loads them, on Linux and on macOS.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from qa.bootstrap.machine import Machine


class Kind(Enum):
    """How a part is found."""

    LIBRARY = "library"
    PROGRAM = "program"
    MODULE = "module"


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of the system.

    Attributes:
        kind: how it is found.
        names: the names it may have; one that is there is enough. A program's name may be a path
            with an asterisk where a version stands.
        purpose: what needs it, to follow the word "for".
        debian: the package that holds it on Debian and its kin; several stand with blanks between.
        ubuntu: the same on Ubuntu, where it differs.
        brew: the formula that holds it on macOS.
    """

    kind: Kind
    names: tuple[str, ...]
    purpose: str
    debian: str
    brew: str
    ubuntu: str | None = None

    def is_there(self, machine: Machine) -> bool:
        """Tell whether the machine has the part under any of its names."""
        has = {
            Kind.LIBRARY: machine.has_library,
            Kind.PROGRAM: machine.has_program,
            Kind.MODULE: machine.has_module,
        }[self.kind]
        return any(has(name) for name in self.names)

    def packages(self, distribution: str) -> tuple[str, ...]:
        """Name the packages that hold the part on a distribution of Debian's kin."""
        named = self.ubuntu if self.ubuntu and distribution == "ubuntu" else self.debian
        return tuple(named.split())


def missing(parts: Iterable[Part], machine: Machine) -> tuple[Part, ...]:
    """Return the parts that the machine lacks, in the order given."""
    return tuple(part for part in parts if not part.is_there(machine))


VENV = (
    Part(
        kind=Kind.MODULE,
        names=("ensurepip",),
        purpose="the project's own Python environment",
        debian=f"python{sys.version_info.major}.{sys.version_info.minor}-venv",
        brew="python",
    ),
)

PACKS = (
    Part(
        kind=Kind.LIBRARY,
        names=("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0.0.dylib"),
        purpose="the text of the packs",
        debian="libpango-1.0-0",
        brew="pango",
    ),
    Part(
        kind=Kind.LIBRARY,
        names=("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0.0.dylib"),
        purpose="the text of the packs",
        debian="libpangoft2-1.0-0",
        brew="pango",
    ),
    Part(
        kind=Kind.LIBRARY,
        names=("libharfbuzz-subset.so.0", "libharfbuzz-subset.0.dylib"),
        purpose="the text of the packs",
        debian="libharfbuzz-subset0",
        brew="harfbuzz",
    ),
)

DATABASE = Part(
    kind=Kind.PROGRAM,
    names=(
        "initdb",
        "/usr/lib/postgresql/*/bin/initdb",
        "/opt/homebrew/opt/postgresql@*/bin/initdb",
        "/usr/local/opt/postgresql@*/bin/initdb",
    ),
    purpose="the tests and benchmarks",
    debian="postgresql",
    brew="postgresql@17",
)
"""The database server; its other programs lie beside this one, often where no path leads."""

CHECKS = (
    DATABASE,
    Part(
        kind=Kind.PROGRAM,
        names=(
            "chromium",
            "chromium-browser",
            "/Applications/Chromium.app/Contents/MacOS/Chromium",
        ),
        purpose="the tests and benchmarks",
        debian="chromium",
        ubuntu="chromium-browser",
        brew="chromium",
    ),
    Part(
        kind=Kind.PROGRAM,
        names=("pdftoppm",),
        purpose="the tests and benchmarks",
        debian="poppler-utils",
        brew="poppler",
    ),
    Part(
        kind=Kind.PROGRAM,
        names=("qpdf",),
        purpose="the tests and benchmarks",
        debian="qpdf",
        brew="qpdf",
    ),
    Part(
        kind=Kind.PROGRAM,
        names=("gcc",),
        purpose="the tests and benchmarks",
        # The compiler's package only recommends the headers that it cannot do without.
        debian="gcc libc6-dev",
        brew="gcc",
    ),
)
