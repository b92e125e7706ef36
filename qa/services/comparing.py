"""Many job folders beside each other: who or what has drifted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from qa.assess.across import Comparison, Grouping, compare
from qa.assess.assessment import assess
from qa.assess.fact import JobFacts
from qa.assess.fitting import require_fitting
from qa.assess.gleaning import glean
from qa.errors import Problem, RecordError, SpecificationError, UsageError
from qa.record.folder import JobFolder, read_folder
from qa.record.job import Job, fold
from qa.services.carried import folder_specification, require_same
from qa.services.loading import Progress, named_specification, without_collecting
from qa.specification.model import Specification

LEAST_POINTS = 8
"""Points that a chart needs where nobody says otherwise: project choice. Fewer make limits so wide
that they say nothing; below `SETTLED_POINTS` they are limits on trial."""

SETTLED_POINTS = 20
"""Points from which limits are taken as settled: common practice, no source."""


def compare_folders(
    paths: Sequence[Path],
    *,
    by: Grouping = Grouping.TOGETHER,
    least_points: int = LEAST_POINTS,
    specifications: Sequence[Path] = (),
    progress: Progress | None = None,
) -> Comparison:
    """The jobs of several folders on control charts.

    Only the records are read; what the photos show is not asked here.

    Args:
        paths: the folders, one or more, each of another job.
        by: by what facts are set apart besides the specification.
        least_points: how many facts a chart needs, 2 or more.
        specifications: files of specifications that are not built in.
        progress: told how many jobs have been judged.

    Raises:
        RecordError: with every fault of every folder, each with its folder.
        SpecificationError: one of the files given cannot be read.
        UsageError: two folders hold the same job.
        DomainError: fewer than 2 points for a chart.
    """
    known = _Specifications(specifications)
    told: dict[str, Path] = {}
    gleaned: list[JobFacts] = []
    problems: list[Problem] = []
    for done, path in enumerate(paths, start=1):
        try:
            facts = _glean_folder(path, known)
        except (RecordError, SpecificationError) as error:
            problems.extend(_at(path, error))
            continue
        _require_another(told.setdefault(facts.job, path), path, facts.job)
        gleaned.append(facts)
        if progress is not None:
            progress("judging the jobs", done, len(paths))
    if problems:
        raise RecordError(tuple(problems))
    return compare(gleaned, by=by, least_points=least_points)


class _Specifications:
    """What jobs pin, each name with one text."""

    def __init__(self, files: Sequence[Path]) -> None:
        given = (named_specification(str(file), file)[1] for file in files)
        self._given = {specification.name: specification for specification in given}
        self._found: dict[str, bytes] = {}

    def of(self, folder: JobFolder, job: Job) -> Specification:
        """The one that a folder's job pins: a given one, a built-in one, or what it carries.

        Raises:
            SpecificationError: there is none, or an earlier folder carried another of this name.
        """
        pinned = job.opening.body.specification
        if pinned in self._given:
            return self._given[pinned]
        content, specification = folder_specification(folder, pinned)
        require_same(pinned, self._found.setdefault(pinned, content), content)
        return specification


def _glean_folder(path: Path, known: _Specifications) -> JobFacts:
    with without_collecting():
        folder = read_folder(path)
        job = fold(folder.record)
        specification = known.of(folder, job)
        require_fitting(job, specification)
        return glean(job, specification, assess(job, specification))


def _at(path: Path, error: RecordError | SpecificationError) -> Iterator[Problem]:
    """The faults of one folder, each with its folder."""
    for problem in error.problems:
        is_named = Path(problem.place).is_relative_to(path)
        yield problem if is_named else replace(problem, place=f"{path}, {problem.place}")


def _require_another(first: Path, second: Path, job: str) -> None:
    if first is not second:
        raise UsageError(
            f"{first} and {second} both hold job {job}; leave one of them out, or a fact would "
            "count twice."
        )
