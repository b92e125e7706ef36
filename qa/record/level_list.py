"""Surveyed levels as an instrument writes them: one place a line, x, y, z in metres."""

from __future__ import annotations

import re
from collections.abc import Iterator

from qa.errors import Problem, RecordError

Level = tuple[float, float, float]

_BETWEEN = re.compile(r"\s*[,;\t]\s*|\s+")


def parse_levels(text: str, *, file: str) -> tuple[Level, ...]:
    """Read levels: three numbers a line, parted by commas, semicolons, tabs or spaces.

    A first line without any number is a heading. Blank lines, and lines that begin with #, are
    passed over.

    Args:
        text: the file's text; numbers take a decimal point.
        file: its name, for the sentences of an error.

    Raises:
        RecordError: with every line that is no level.
    """
    levels: list[Level] = []
    problems: list[Problem] = []
    for number, line in _content(text):
        level = _level(line)
        if level is not None:
            levels.append(level)
        elif levels or problems or not _is_heading(line):
            sentence = (
                f"“{line[:60]}” is no level; write x, y, z in metres, such as 1.5, 2.0, 0.034."
            )
            problems.append(Problem(place=f"{file}, line {number}", sentence=sentence, line=number))
    if not levels and not problems:
        problems.append(Problem(place=file, sentence="holds no level; write x, y, z a line."))
    if problems:
        raise RecordError(tuple(problems))
    return tuple(levels)


def _content(text: str) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(text.splitlines(), start=1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield number, line.strip()


def _level(line: str) -> Level | None:
    cells = _BETWEEN.split(line)
    try:
        x, y, z = (float(cell) for cell in cells)
    except ValueError:
        return None
    return x, y, z


def _is_heading(line: str) -> bool:
    return not any(sign.isdigit() for sign in line)
