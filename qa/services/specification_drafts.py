"""Drafts of specifications: changes gathered by the people of a firm until they are published.

A draft is at every moment a specification that could be judged by: each change is held to the
loader before it is kept. What it came from is never changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from qa.errors import ConflictError, NotFoundError, Problem, RecordError, SpecificationError
from qa.services.access import Act, Actor, require
from qa.services.specification_lines import compared, lines_of
from qa.services.specifications import new_name, read_version
from qa.specification.editing import HEAD, mark_of, renamed, table_of, with_table
from qa.specification.loader import parse_specification
from qa.specification.model import Specification
from qa.specification.toml_text import TomlTable
from qa.store import accounts
from qa.store import specification_drafts as store
from qa.store.specification_drafts import KeptChange, KeptDraft, NewChange
from qa.store.specifications import newest_version
from qa.trade.vocabulary import EdgeKind

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from qa.services.installation import Installation

_NO_DRAFT = "The firm has no such draft. Choose one among the specifications."
_NO_LINE = "A specification says nothing of that name. Choose a line of the draft."
_LONGEST_TOLD = 240


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldDraft:
    """A draft, read.

    Attributes:
        kept: who began it, from what, and how it ended.
        changes: the last first.
    """

    kept: KeptDraft
    specification: Specification
    changes: tuple[KeptChange, ...]

    @property
    def name(self) -> str:
        """The name that it would be published by."""
        return self.specification.name


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOfDraft:
    """One table of a draft, to be changed.

    Attributes:
        title: what it is, for a person.
        table: what stands there; empty where the specification has none.
        mark: of what stands there, for saying what one has seen.
    """

    path: str
    title: str
    table: TomlTable
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineChange:
    """What is to stand in a table.

    Attributes:
        seen: the mark of what the person has seen there.
    """

    path: str
    table: TomlTable
    seen: str


def begin_draft(
    installation: Installation, actor: Actor, key: str, version: int, *, named: str, now: datetime
) -> str:
    """Begins a draft from a version, or joins the one that the firm has from it.

    Args:
        installation: where.
        actor: who begins.
        key: of the version.
        version: its number.
        named: the key that it is to have: the firm's own name for its limits.
        now: the server's clock.

    Returns:
        The draft's id.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        NotFoundError: the firm has no such version.
        RecordError: the name cannot be one.
    """
    require(actor, Act.SET_LIMITS)
    base = read_version(installation, actor, key, version)
    with installation.store.writing() as session:
        accounts.hold_firm(session, actor.firm_id)
        standing = store.standing_draft(session, firm_id=actor.firm_id, came_from=base.offered.name)
        if standing is not None:
            return standing
        draft = installation.new_id()
        store.begin_draft(
            session,
            id_=draft,
            firm_id=actor.firm_id,
            came_from=base.offered.name,
            content=next_named(session, actor, base.content, named),
            begun_by=actor.person_id,
            now=now,
        )
    return draft


def open_drafts(installation: Installation, actor: Actor) -> tuple[KeptDraft, ...]:
    """The drafts that people of the firm work on, the last begun first."""
    require(actor, Act.SET_LIMITS)
    with installation.store.reading() as session:
        return store.open_drafts(session, firm_id=actor.firm_id)


def read_draft(installation: Installation, actor: Actor, draft: str) -> HeldDraft:
    """A draft with its changes, open or ended.

    Raises:
        NotFoundError: the firm has no such draft.
    """
    require(actor, Act.SET_LIMITS)
    with installation.store.reading() as session:
        kept = _found(session, actor, draft)
        changes = store.changes_of(session, draft)
    specification = parse_specification(kept.content, file="The draft")
    return HeldDraft(kept=kept, specification=specification, changes=changes)


def line_of_draft(held: HeldDraft, path: str) -> LineOfDraft:
    """One table of a draft.

    Raises:
        NotFoundError: a specification has no table of that path.
    """
    titles = {line.path or HEAD: line.title for line in lines_of(held.kept.content)}
    title = titles.get(path) or absent_battens().get(path)
    if title is None:
        raise NotFoundError(_NO_LINE)
    table = table_of(held.kept.content, path)
    return LineOfDraft(path=path, title=title, table=table, mark=mark_of(table))


def change_line(
    installation: Installation, actor: Actor, draft: str, change: LineChange, *, now: datetime
) -> bool:
    """Puts something else into one table of a draft; answers whether anything is different.

    Raises:
        NotAllowedError: the actor's roles do not allow it.
        NotFoundError: the firm has no such draft, or it no such table.
        SpecificationError: with every fault of what it would become; nothing is kept.
        RecordError: somebody changed the table since the person saw it.
        ConflictError: the draft has ended.
    """
    require(actor, Act.SET_LIMITS)
    with installation.store.writing() as session:
        kept = open_draft(session, actor, draft)
        after = with_table(kept.content, change.path, change.table)
        if after == kept.content:
            return False
        if mark_of(table_of(kept.content, change.path)) != change.seen:
            raise changed_meanwhile(session, kept, change.path)
        new = NewChange(
            path=change.path,
            told=_told(kept.content, after),
            changed_by=actor.person_id,
            changed_at=now,
        )
        store.keep_change(session, draft, content=after, revision=kept.revision + 1, new=new)
    return True


def throw_away(installation: Installation, actor: Actor, draft: str, *, now: datetime) -> None:
    """Ends a draft without a version; what it came from stays as it is.

    Raises:
        NotFoundError: the firm has no such draft.
        ConflictError: it has ended.
    """
    require(actor, Act.SET_LIMITS)
    with installation.store.writing() as session:
        open_draft(session, actor, draft)
        store.end_draft(session, draft, ended_by=actor.person_id, now=now)


def next_named(session: Session, actor: Actor, content: bytes, key: str) -> bytes:
    """A file under a key with the next free version.

    Raises:
        RecordError: the key cannot be one.
    """
    version = newest_version(session, firm_id=actor.firm_id, key=key) + 1
    try:
        named = renamed(content, f"{key}/{version}")
        new_name(named)
    except SpecificationError as error:
        raise RecordError(
            tuple(
                Problem(place=one.place, sentence=one.sentence, field="draft.named")
                for one in error.problems
            )
        ) from error
    return named


def _found(session: Session, actor: Actor, draft: str) -> KeptDraft:
    kept = store.find_draft(session, draft, firm_id=actor.firm_id)
    if kept is None:
        raise NotFoundError(_NO_DRAFT)
    return kept


def open_draft(session: Session, actor: Actor, draft: str) -> KeptDraft:
    """A draft that nobody else changes until the transaction ends.

    Raises:
        NotFoundError: the firm has none of that id.
        ConflictError: it has ended.
    """
    store.hold_draft(session, draft, firm_id=actor.firm_id)
    kept = _found(session, actor, draft)
    if kept.ended_at is not None:
        how = f"published it as {kept.published}" if kept.published else "threw it away"
        raise ConflictError(
            f"{kept.ended_by} {how} meanwhile. This draft is not changed any more; begin "
            "another from the version that you want to change."
        )
    return kept


def changed_meanwhile(session: Session, kept: KeptDraft, path: str | None) -> RecordError:
    """Tells who changed a table, or with None anything of a draft, and what."""
    changes = store.changes_of(session, kept.id)
    last = next((one for one in changes if path in (None, one.path)), changes[0])
    return _refused(
        f"{last.changed_by} changed this meanwhile: {last.told}. Look at it; what you typed "
        "stands here, and saving again puts it in."
        if path is not None
        else f"{last.changed_by} changed the draft meanwhile: {last.told}. Look at it, then "
        "publish again."
    )


def _refused(sentence: str) -> RecordError:
    return RecordError((Problem(place="The draft", sentence=sentence),))


def _told(before: bytes, after: bytes) -> str:
    """What a change says otherwise, in words."""
    told = (
        f"{one.name}: {_short(one.before)} → {_short(one.after)}"
        for line in compared(before, after)
        for one in line.differences
    )
    return "; ".join(told)


def _short(text: str) -> str:
    if not text:
        return "nothing"
    return text if len(text) <= _LONGEST_TOLD else f"{text[: _LONGEST_TOLD - 1]}…"


def absent_battens() -> Mapping[str, str]:
    """Titles of the battens by their paths; a file may leave out any of them."""
    return {f"battens.{kind.value}": kind.value.replace("_", " ").capitalize() for kind in EdgeKind}
