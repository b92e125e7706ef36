"""A firm's jobs beside each other on control charts: who or what has drifted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from qa.assess.across import Comparison, Grouping, compare
from qa.assess.fact_text import read_facts_text
from qa.services.access import Act, Actor, require
from qa.services.comparing import LEAST_POINTS
from qa.store.job_facts import newest_facts

if TYPE_CHECKING:
    from qa.services.installation import Installation

MOST_JOBS = 300
"""Jobs that are compared, those with the latest entries: project choice. What was laid years ago
says little of who has drifted now."""


def drift(installation: Installation, actor: Actor, *, by: Grouping) -> Comparison:
    """The newest jobs of the actor's firm on control charts.

    The facts are those of the last sign-off, decision or correction of each job.

    Args:
        installation: where.
        actor: who asks.
        by: by what facts are set apart besides specification, quantity and way of making.
    """
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        kept = newest_facts(session, firm_id=actor.firm_id, most=MOST_JOBS)
    return compare(map(read_facts_text, kept), by=by, least_points=LEAST_POINTS)
