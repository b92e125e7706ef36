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
        names: the names it may have; one that is there is enough.
        purpose: what needs it, to follow the word "for".
        debian: the package that holds it on Debian and its kin.
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

    def package(self, distribution: str) -> str:
        """Name the package that holds the part on a distribution of Debian's kin."""
        return self.ubuntu if self.ubuntu and distribution == "ubuntu" else self.debian


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

CHECKS = (
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
)
