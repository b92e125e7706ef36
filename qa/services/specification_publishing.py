"""Publishing a draft: it becomes a version that is kept for good and that new jobs may pin."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import Problem, RecordError
from qa.services.access import Act, Actor, require
from qa.services.specification_drafts import (
    HeldDraft,
    changed_meanwhile,
    next_named,
    open_draft,
    read_draft,
)
from qa.services.specification_lines import ChangedLine, compared
from qa.services.specifications import read_version, split_name
from qa.specification.editing import renamed
from qa.specification.loader import parse_specification
from qa.store import accounts
from qa.store.specification_drafts import end_draft
from qa.store.specifications import NewVersion, add_version

if TYPE_CHECKING:
    from qa.services.installation import Installation


def differences(
    installation: Installation, actor: Actor, held: HeldDraft
) -> tuple[ChangedLine, ...]:
    """What a draft says otherwise than the version that it came from, its name apart."""
    base = read_version(installation, actor, *split_name(held.kept.came_from))
    return compared(renamed(base.content, held.name), held.kept.content)


def publish(
    installation: Installation, actor: Actor, draft: str, *, revision: int, note: str, now: datetime
) -> str:
    """Makes a draft the next version of its key, kept for good.

    Args:
        installation: where.
        actor: who publishes.
        draft: its id.
        revision: the last change that the person has seen.
        note: why the version is made.
        now: the server's clock.

    Returns:
        The name of the version.

    Raises:
        NotFoundError: the firm has no such draft.
        RecordError: somebody changed it since, or it says what its origin says.
        ConflictError: it was published or thrown away meanwhile.
    """
    require(actor, Act.SET_LIMITS)
    _require_changes(installation, actor, read_draft(installation, actor, draft))
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        kept = open_draft(session, actor, draft)
        if kept.revision != revision:
            raise changed_meanwhile(session, kept, None)
        key, _ = split_name(parse_specification(kept.content, file="The draft").name)
        content = next_named(session, actor, kept.content, key)
        specification = parse_specification(content, file="The draft")
        _, version = split_name(specification.name)
        new = NewVersion(
            firm_id=actor.firm_id, key=key, version=version, content=content,
            sha256=specification.sha256, made_by=actor.person_id, made_at=now, note=note,
        )  # fmt: skip
        add_version(session, new)
        end_draft(session, draft, ended_by=actor.person_id, now=now, published=specification.name)
    return specification.name


def _require_changes(installation: Installation, actor: Actor, held: HeldDraft) -> None:
    """Refuses an open draft that says what its origin says.

    Raises:
        RecordError: it does.
    """
    if held.kept.ended_at is None and not differences(installation, actor, held):
        sentence = f"The draft says what {held.kept.came_from} says. Change something first."
        raise RecordError((Problem(place="The draft", sentence=sentence),))
