"""Faults of a specification as the form of one of its tables shows them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from qa.errors import Problem
from qa.specification.editing import HEAD
from qa.texts.saying import say

_ROW = re.compile(r"(?P<rows>[a-z_]+), row (?P<number>\d+)")


def faults_of_form(problems: Iterable[Problem], path: str) -> Iterator[Problem]:
    """Faults by the form's own fields; one of another table is told with its place.

    Args:
        problems: as the loader tells them.
        path: of the table that the form changes.
    """
    own = "" if path == HEAD else f"{path}."
    for problem in problems:
        field = problem.field or ""
        if field.startswith(own) and ("." not in field or own):
            yield _own(problem, field.removeprefix(own))
        else:
            yield Problem(place=problem.place, sentence=str(problem))


def _own(problem: Problem, key: str) -> Problem:
    """A fault of a key, or of a row of the table."""
    row = _ROW.match(key)
    if row is not None:
        sentence = say("Row %(number)s: %(fault)s", number=row["number"], fault=problem.sentence)
        return Problem(place=problem.place, sentence=sentence, field=f"line.{row['rows']}")
    sentence = problem.sentence
    if sentence.startswith((f"{key} is ", f"{key} must ")):
        sentence = f"line.{key}{sentence.removeprefix(key)}"  # the field's label stands there
    return Problem(place=problem.place, sentence=sentence, field=f"line.{key}")
