"""Judging a job folder."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from qa.assess.assessment import assess
from qa.assess.finding import Assessment
from qa.services.carried import folder_specification
from qa.services.loading import Progress, load_job, without_collecting


def assess_folder(
    path: Path, *, specification: Path | None = None, progress: Progress | None = None
) -> Assessment:
    """The assessment of a job folder.

    Args:
        path: the folder.
        specification: file of the specification that the job pins; None for a built-in one or
            the one that the folder carries.
        progress: told how many photos have been looked at.

    Raises:
        RecordError: with every fault of the record or its photos.
        SpecificationError: the specification cannot be read.
    """
    named = partial(folder_specification, given=specification)
    loaded = load_job(path, named=named, progress=progress)
    with without_collecting():
        return assess(loaded.job, loaded.specification)
