"""Lists of jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from qa.services.access import Act, Actor, require
from qa.store.job_lists import ListedJob, list_jobs

if TYPE_CHECKING:
    from qa.services.installation import Installation

A_PAGE = 30
"""Jobs on one page of a list."""


def jobs(
    installation: Installation, actor: Actor, *, skip: int = 0, most: int = A_PAGE
) -> tuple[ListedJob, ...]:
    """The jobs of the actor's firm, the one with the latest entry first."""
    require(actor, Act.READ_JOBS)
    with installation.store.reading() as session:
        return list_jobs(session, firm_id=actor.firm_id, most=most, skip=skip)
