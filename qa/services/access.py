"""Who may do what: the one table, and the person who acts.

Every use case asks `require` before it does anything; the site asks the same table to decide which
words to show. What a role may not do is refused in words that say who may.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from qa.errors import NotAllowedError


class Role(StrEnum):
    """What a person does for the firm; one person may have several roles."""

    INSTALLER = "installer"
    SUPERVISOR = "supervisor"
    OFFICE = "office"
    OWNER = "owner"


class Act(StrEnum):
    """Everything that somebody may or may not do, in words that follow “may”."""

    READ_JOBS = "read the firm's jobs"
    START_JOB = "start a job"
    RECORD_WORK = "record work on a roof"
    MARK_PHOTOS = "mark a photo"
    WRITE_NOTES = "write notes and raise nonconformities"
    SIGN_OFF = "sign a stage off as complete"
    RELEASE = "release or refuse a stage"
    DECIDE = "decide on a nonconformity"
    MAKE_PACKS = "make packs and hand them over"
    SHARE = "share a job by link"
    TAKE_OUT = "take a job out as a folder"
    TAKE_IN = "take a job folder in"
    ERASE = "erase personal values"
    SEE_PEOPLE = "see the firm's people"
    INVITE = "invite people"
    MANAGE_PEOPLE = "change what people may do"
    KEEP_FIRM = "change how the firm is called and reached"
    SEE_DESK = "see what needs the desk"
    SET_LIMITS = "make a version of a specification"
    SEND_EVENTS = "have events sent to other programs"
    KEEP_OWN_ACCOUNT = "look after their own account"


_ALL = frozenset(Role)
_ON_THE_ROOF = frozenset({Role.INSTALLER, Role.SUPERVISOR})
_PAPERS = frozenset({Role.SUPERVISOR, Role.OFFICE, Role.OWNER})
_ANSWERS_FOR_LIMITS = frozenset({Role.SUPERVISOR, Role.OWNER})
_FRONT = frozenset({Role.OFFICE, Role.OWNER})

MAY: Mapping[Act, frozenset[Role]] = MappingProxyType(
    {
        Act.READ_JOBS: _ALL,
        Act.START_JOB: _ALL,
        Act.RECORD_WORK: _ON_THE_ROOF,
        Act.MARK_PHOTOS: _ON_THE_ROOF,
        Act.WRITE_NOTES: _ALL,
        Act.SIGN_OFF: frozenset({Role.INSTALLER}),
        Act.RELEASE: frozenset({Role.SUPERVISOR}),
        Act.DECIDE: frozenset({Role.SUPERVISOR}),
        Act.MAKE_PACKS: _PAPERS,
        Act.SHARE: _PAPERS,
        Act.TAKE_OUT: _PAPERS,
        Act.TAKE_IN: _PAPERS,
        Act.ERASE: _FRONT,
        Act.SEE_PEOPLE: _PAPERS,
        Act.INVITE: _FRONT,
        Act.MANAGE_PEOPLE: frozenset({Role.OWNER}),
        Act.KEEP_FIRM: _FRONT,
        Act.SEE_DESK: _PAPERS,
        Act.SET_LIMITS: _ANSWERS_FOR_LIMITS,
        Act.SEND_EVENTS: _FRONT,
        Act.KEEP_OWN_ACCOUNT: _ALL,
    }
)

ASK_FOR_SECOND_FACTOR = frozenset({Role.SUPERVISOR})
"""Roles that are in force only for people who have a second factor."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Actor:
    """Who acts: a person of a firm, signed in as far as their roles ask for.

    Attributes:
        firm_id: the firm, of which nothing crosses into another.
        person_id: the account.
        key: the name by which entries of the record call them.
        name: as people call them.
        roles: those in force; a role that asks for a second factor is not among them until they
            have one.
        owes_second_factor: whether they must set one up before anything else.
    """

    firm_id: str
    person_id: str
    key: str
    name: str
    roles: frozenset[Role]
    owes_second_factor: bool = False

    def may(self, act: Act) -> bool:
        """Whether one of their roles allows it; everyone may look after their own account."""
        return act is Act.KEEP_OWN_ACCOUNT or bool(self.roles & MAY[act])


def require(actor: Actor, act: Act) -> None:
    """Refuses what the actor's roles do not allow.

    Raises:
        NotAllowedError: says what, and which roles may.
    """
    if not actor.may(act):
        *others, last = sorted(MAY[act])
        who = f"{', '.join(others)} or {last}" if others else last
        raise NotAllowedError(
            f"{actor.name} may not {act}; that is for the {who}. Nothing was saved."
        )
