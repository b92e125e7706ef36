"""Runs the benchmarks named, or all, and ends with 1 where a bound does not hold."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from importlib import import_module
from pathlib import Path

from tests.bench.line import BenchLine

FOLDER = Path(__file__).parent
NOT_A_BENCHMARK = {"__init__", "__main__", "line"}


def names(folder: Path = FOLDER) -> tuple[str, ...]:
    """List the benchmarks: every module in the folder that is not part of the runner."""
    found = (path.stem for path in folder.glob("*.py"))
    return tuple(sorted(name for name in found if name not in NOT_A_BENCHMARK))


def lines(chosen: Iterable[str]) -> Iterator[BenchLine]:
    """Run the benchmarks chosen, one after another, and yield each line when it is measured."""
    for name in chosen:
        yield from import_module(f"tests.bench.{name}").run()


def main(arguments: Sequence[str]) -> int:
    """Print one line for each figure.

    Returns:
        0 where every bound holds, 1 where one does not, 2 where a name is unknown.
    """
    known = names()
    unknown = [name for name in arguments if name not in known]
    if unknown:
        there_are = ", ".join(known) or "none"
        print(
            f"No benchmark is named {', '.join(unknown)}; there are: {there_are}.", file=sys.stderr
        )
        return 2
    all_hold = True
    for line in lines(arguments or known):
        print(line, flush=True)
        all_hold = all_hold and line.holds
    return 0 if all_hold else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
