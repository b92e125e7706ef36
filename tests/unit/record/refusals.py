"""What a refused record says, for tests that break one."""

from __future__ import annotations

import pytest

from qa.errors import Problem, RecordError
from qa.record.reading import read_record


def problems_in(text: str, personal: str | None = None) -> tuple[Problem, ...]:
    """Every fault for which a record is refused."""
    with pytest.raises(RecordError) as refused:
        read_record(text, personal)
    assert str(refused.value).endswith("\nNothing has been taken in.")
    for problem in refused.value.problems:
        str(problem).encode("utf-8")
        assert problem.sentence.endswith((".", "?"))
    return refused.value.problems


def problem_in(text: str, personal: str | None = None) -> Problem:
    """The one fault for which a record is refused."""
    (problem,) = problems_in(text, personal)
    return problem
