"""Bays written as runs, so that a mix of twenty bays does not fill a column."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from qa.trade.bays import BayKey, parse_bay_key


def bay_runs(bays: Iterable[str]) -> str:
    """Bays by row and number, neighbours in a row joined.

    >>> bay_runs(["r1b4", "r1b2", "r1b3", "r2b1", "r2b2", "r3b5"])
    'r1b2–r1b4, r2b1, r2b2, r3b5'
    """
    keys = sorted({(key.row, key.number) for key in map(parse_bay_key, bays)})
    runs = groupby(enumerate(keys), lambda pair: (pair[1][0], pair[1][1] - pair[0]))
    return ", ".join(_run_text([BayKey(row=r, number=n) for _, (r, n) in run]) for _, run in runs)


def _run_text(run: list[BayKey]) -> str:
    if len(run) < 3:
        return ", ".join(map(str, run))
    return f"{run[0]}–{run[-1]}"
