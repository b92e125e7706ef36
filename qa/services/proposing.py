"""What a new job is proposed to be, so that little is left to type: reference, zone, crew."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from qa.record.kinds.parties import Role as CrewRole
from qa.services.access import Act, Actor, Role, require
from qa.services.loading import GENERAL
from qa.store import accounts, openings

if TYPE_CHECKING:
    from qa.services.installation import Installation

FIRST_TIME_ZONE = "Europe/London"
"""Proposed to a firm that has no job yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewChoice:
    """One of the firm's people, in a role that they may have on a job.

    Attributes:
        is_proposed: whether they are of the crew unless somebody says otherwise.
    """

    key: str
    name: str
    role: CrewRole
    competence: str | None
    is_proposed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmOnJobs:
    """The firm as a job's opening names it."""

    name: str
    address: str | None
    phone: str | None
    email: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a new job is proposed to be.

    Attributes:
        reference: year and number, such as "2026-014".
        crew: the firm's people, each in every role that they may have on a job.
    """

    reference: str
    time_zone: str
    specification: str
    firm: FirmOnJobs
    crew: tuple[CrewChoice, ...]


def propose_job(installation: Installation, actor: Actor, *, now: datetime) -> Proposal:
    """What the actor's next job is proposed to be.

    Raises:
        NotAllowedError: the actor's roles do not allow them to start a job.
    """
    require(actor, Act.START_JOB)
    with installation.store.reading() as session:
        last = openings.last_opening(session, firm_id=actor.firm_id)
        zone = last.time_zone if last else FIRST_TIME_ZONE
        prefix = f"{now.astimezone(ZoneInfo(zone)).year}-"
        taken = openings.references_from(session, firm_id=actor.firm_id, prefix=prefix)
        firm = accounts.firm_by_id(session, actor.firm_id)
        people = accounts.accounts_of(session, actor.firm_id)
    return Proposal(
        reference=next_reference(prefix, taken),
        time_zone=zone,
        specification=last.specification if last else GENERAL,
        firm=FirmOnJobs(
            name=firm.name if firm else "",
            address=firm.address if firm else None,
            phone=firm.phone if firm else None,
            email=firm.email if firm else None,
        ),
        crew=_choices(people, actor),
    )


def crew_choices(installation: Installation, actor: Actor) -> tuple[CrewChoice, ...]:
    """The firm's people, each in every role that they may have on a job."""
    require(actor, Act.START_JOB)
    with installation.store.reading() as session:
        return _choices(accounts.accounts_of(session, actor.firm_id), actor)


def next_reference(prefix: str, taken: Iterable[str]) -> str:
    """The reference after the highest number that is taken.

    >>> next_reference("2026-", ["2026-007", "2026-013", "2026-A"])
    '2026-014'
    """
    plain = re.compile(re.escape(prefix) + r"([0-9]{1,6})")
    numbers = [int(found[1]) for one in taken if (found := plain.fullmatch(one))]
    return f"{prefix}{max(numbers, default=0) + 1:03d}"


def roles_on_jobs(roles: Iterable[str]) -> tuple[CrewRole, ...]:
    """The roles that a person may have on a job, by those that they have in the firm.

    Only who neither lays nor supervises is of the office there.

    >>> [role.value for role in roles_on_jobs(["owner", "supervisor"])]
    ['supervisor']
    """
    held = set(roles)
    found = [role for role in (CrewRole.INSTALLER, CrewRole.SUPERVISOR) if Role(role.value) in held]
    return tuple(found) or (CrewRole.OFFICE,)


def _choices(people: Iterable[accounts.Account], actor: Actor) -> tuple[CrewChoice, ...]:
    """Everyone who has not left; the actor first, the office only where it is the actor."""
    choices = [
        CrewChoice(
            key=person.key,
            name=person.name,
            role=role,
            competence=person.competence,
            is_proposed=_is_proposed(person.key == actor.key, role, person.roles),
        )
        for person in people
        if person.ended_at is None
        for role in roles_on_jobs(person.roles)
    ]
    return tuple(sorted(choices, key=lambda one: (one.key != actor.key, one.role.value, one.name)))


def _is_proposed(is_actor: bool, role: CrewRole, roles: tuple[str, ...]) -> bool:
    """Whether a person is ticked at first: who starts the job, and every supervisor.

    Who both lays and supervises is proposed for the role that they start the job in: laying.
    """
    lays = Role.INSTALLER in roles
    if is_actor:
        return role is CrewRole.INSTALLER or not lays
    return role is CrewRole.SUPERVISOR and not lays
