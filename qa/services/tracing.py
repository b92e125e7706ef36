"""A batch across jobs: which there are, and everything that one of them went into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from qa.errors import NotFoundError
from qa.services.access import Act, Actor, require
from qa.store.batches import HoldingJob, ListedBatch, list_batches, trace

if TYPE_CHECKING:
    from qa.services.installation import Installation

A_PAGE = 30
"""Batches on one page of the list."""


def batches(
    installation: Installation,
    actor: Actor,
    *,
    begins: str = "",
    skip: int = 0,
    most: int = A_PAGE,
) -> tuple[ListedBatch, ...]:
    """The batches of the actor's firm by number.

    Args:
        installation: where.
        actor: who asks.
        begins: what the number must begin with, or nothing.
        skip: how many to leave out before.
        most: how many to answer.
    """
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        return list_batches(session, firm_id=actor.firm_id, begins=begins, most=most, skip=skip)


def trace_batch(
    installation: Installation, actor: Actor, batch_number: str
) -> tuple[HoldingJob, ...]:
    """Every job of the actor's firm that holds a batch, with areas, bays, mixes and packs.

    Raises:
        NotFoundError: no job of the firm holds it.
    """
    require(actor, Act.SEE_DESK)
    with installation.store.reading() as session:
        held = trace(session, batch_number, firm_id=actor.firm_id)
    if not held:
        raise NotFoundError("No job holds a batch of this number. Look for it among the batches.")
    return held
