"""Lines of JSON: each parsed on its own, and every fault named by file and line."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from qa.errors import Problem, RecordError
from qa.record.fields import Fault, Json, shown

LONGEST_LINE = 8_000_000
"""Characters; a record's longest true line is an outline of some thousand corners."""


def read_lines(text: str, file: str, problems: list[Problem]) -> Iterator[tuple[int, Json]]:
    """Number and parsed object of each line that is not blank.

    Args:
        text: the whole file.
        file: its name, for the sentences.
        problems: where the fault of a line that is no JSON is put; the line itself is left out.
    """
    for number, line in enumerate(text.split("\n"), start=1):
        if not line or line.isspace():
            continue
        try:
            if len(line) > LONGEST_LINE:
                raise _LineError(f"has {len(line)} characters, more than {LONGEST_LINE}")
            yield number, _parse(line)
        except (ValueError, RecursionError) as error:
            problems.append(problem_at(file, number, f"{_why_no_json(line, error)} Mend the line."))


def parse_text(text: str, what: str) -> Json:
    """The value of a text that holds one, as strictly as a line of a record is read.

    Raises:
        RecordError: it is no JSON; `what` names it in the sentence.
    """
    try:
        return _parse(text)
    except (ValueError, RecursionError) as error:
        sentence = _why_no_json(text, error).replace("the line", "it")
        raise RecordError((Problem(place=what, sentence=sentence),)) from error


def fault_problems(fault: Fault, file: str, number: int | None = None) -> Iterator[Problem]:
    """Every finding of a fault as a problem of a line, the field's path before the sentence."""
    for path, sentence in fault.faults:
        field = path.lstrip(".")
        stop = "" if sentence.endswith("?") else "."
        yield problem_at(file, number, f"{field} {sentence}{stop}".lstrip(), field or None)


def problem_at(file: str, line: int | None, sentence: str, field: str | None = None) -> Problem:
    """A problem of a file, in a line of it where there is one."""
    place = file if line is None else f"{file}, line {line}"
    return Problem(place=place, sentence=sentence, line=line, field=field)


class _LineError(ValueError):
    """What is wrong with a line, to follow the words “the line”."""


def _unique(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    fields = dict(pairs)
    if len(fields) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise _LineError(f"gives the field {shown(name)} twice; leave one of them out")
            seen.add(name)
    return fields


def _refuse_constant(name: str) -> Json:
    raise _LineError(f"holds {name}, which is no number")


_SURROGATE = re.compile("[\ud800-\udfff]")
_decoder = json.JSONDecoder(object_pairs_hook=_unique, parse_constant=_refuse_constant)


def _parse(line: str) -> Json:
    parsed = _decoder.decode(line)
    if "\\u" in line and _SURROGATE.search(json.dumps(parsed, ensure_ascii=False)):
        raise _LineError("holds half a character, a surrogate escape without its pair")
    return parsed


def _why_no_json(line: str, error: Exception) -> str:
    if isinstance(error, json.JSONDecodeError):
        if not line.rstrip().endswith("}"):
            return "the line breaks off before its closing bracket; it is truncated."
        return f"the line is not JSON at character {error.colno}: {error.msg}."
    if isinstance(error, RecursionError):
        return "the line nests too deeply."
    if isinstance(error, _LineError):
        return f"the line {error}."
    return "the line holds a number of more digits than can be read."
