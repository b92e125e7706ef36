"""Who is told of what by e-mail, and in which words: read from the ledger when it is sent."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from types import MappingProxyType
from typing import TYPE_CHECKING

from qa.record.kinds.decisions import SignOff, SignOffDecision
from qa.services.access import Role
from qa.services.invitation_links import invitation_address
from qa.services.look_dates import next_look
from qa.services.mail_tasks import Mail, MailKind
from qa.services.reading import ReadJob, read_any_job
from qa.store import accounts, invitations, links, papers
from qa.store.accounts import Account
from qa.store.ledger import firm_of_job

if TYPE_CHECKING:
    from qa.services.installation import Installation


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What a message says, and to whom."""

    email: str
    words: Mapping[str, str | bool]


def _invitation(installation: Installation, mail: Mail, now: datetime) -> Letter | None:
    with installation.store.reading() as session:
        held = invitations.open_by_id(session, mail.about, now=now)
        firm = accounts.firm_by_id(session, held.firm_id) if held else None
    if held is None or firm is None:
        return None
    return Letter(
        email=held.email,
        words={
            "name": held.name,
            "firm": firm.name,
            "link": invitation_address(installation, held.id),
            "until": f"{held.expires_at.day} {held.expires_at:%B %Y}",
        },
    )


def _pack_ready(installation: Installation, mail: Mail, _now: datetime) -> Letter | None:
    with installation.store.reading() as session:
        pack = papers.ready_pack(session, mail.about)
        person = accounts.account_by_id(session, pack.asked_by) if pack else None
    if pack is None or person is None or person.email is None:
        return None
    read = read_any_job(installation, firm_id=pack.firm_id, job_id=pack.job_id)
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": read.job.reference,
            "pack": pack.kind,
            "link": f"{_origin(installation)}/jobs/{pack.job_id}/packs",
        },
    )


def _signature(installation: Installation, mail: Mail, _now: datetime) -> Letter | None:
    signed = _signed(installation, mail)
    with installation.store.reading() as session:
        person = accounts.account_by_id(session, mail.person)
    if signed is None or person is None or person.email is None:
        return None
    origin, job_id = _origin(installation), mail.about.partition("/")[0]
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": signed.reference,
            "stage": signed.body.stage,
            "link": f"{origin}/jobs/{job_id}/stages/{signed.body.stage}",
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Signed:
    """A signature that somebody is told of, and whose work it is about."""

    firm_id: str
    reference: str
    body: SignOff
    crew: frozenset[str]


def _signed(installation: Installation, mail: Mail) -> _Signed | None:
    job_id, _, entry_id = mail.about.partition("/")
    with installation.store.reading() as session:
        firm_id = firm_of_job(session, job_id)
    if firm_id is None:
        return None
    read = read_any_job(installation, firm_id=firm_id, job_id=job_id)
    signatures = read.job.sign_offs
    body = next((one.body for one in signatures if one.entry.id == entry_id), None)
    if body is None:
        return None
    crew = frozenset(
        one.by
        for one in signatures
        if one.body.stage is body.stage and one.body.decision is SignOffDecision.COMPLETE
    )
    return _Signed(firm_id=firm_id, reference=read.job.reference, body=body, crew=crew)


def _message(installation: Installation, mail: Mail, _now: datetime) -> Letter | None:
    found = _job_of(installation, mail)
    if found is None:
        return None
    message_id = mail.about.partition("/")[2]
    with installation.store.reading() as session:
        held = links.find_message(session, message_id, firm_id=found.firm_id, job_id=found.read.id)
        person = accounts.account_by_id(session, mail.person)
    is_open = held is not None and held[0].answer_id not in {n.id for n in found.read.job.notes}
    if held is None or not is_open or person is None or person.email is None:
        return None
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": found.read.job.reference,
            "face": held[1].face,
            "link": f"{_origin(installation)}/jobs/{found.read.id}/messages/{message_id}",
        },
    )


def _look_due(installation: Installation, mail: Mail, now: datetime) -> Letter | None:
    found = _job_of(installation, mail)
    if found is None:
        return None
    with installation.store.reading() as session:
        person = accounts.account_by_id(session, mail.person)
    job, due = found.read.job, date.fromisoformat(mail.about.partition("/")[2])
    if next_look(job) != due or person is None or person.email is None:
        return None
    today = now.astimezone(job.time_zone).date()
    return Letter(
        email=person.email,
        words={
            "name": person.name,
            "reference": job.reference,
            "due": f"{due.day} {due:%B %Y}",
            "is_past": due < today,
            "link": f"{_origin(installation)}/jobs/{found.read.id}/inspections/new",
        },
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _JobOfFirm:
    """A job that an e-mail is about, and whose it is."""

    firm_id: str
    read: ReadJob


def _job_of(installation: Installation, mail: Mail) -> _JobOfFirm | None:
    """The job that the mail's `about` begins with."""
    job_id = mail.about.partition("/")[0]
    with installation.store.reading() as session:
        firm_id = firm_of_job(session, job_id)
    if firm_id is None:
        return None
    return _JobOfFirm(
        firm_id=firm_id, read=read_any_job(installation, firm_id=firm_id, job_id=job_id)
    )


def _origin(installation: Installation) -> str:
    return installation.settings.origin.rstrip("/")


def _signers(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    """The crew that signed off the stage that was refused."""
    signed = _signed(installation, mail)
    crew = signed.crew if signed else frozenset()
    return tuple(one for one in _here(installation, mail) if one.key in crew)


def _supervisors(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    return _with(_here(installation, mail), Role.SUPERVISOR)


def _office_and_supervisors(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    """Those who answer what comes by a link; the owner where the firm has neither."""
    here = _here(installation, mail)
    return _with(here, Role.OFFICE, Role.SUPERVISOR) or _with(here, Role.OWNER)


def _office_and_owners(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    return _with(_here(installation, mail), Role.OFFICE, Role.OWNER)


def _here(installation: Installation, mail: Mail) -> tuple[Account, ...]:
    """Everybody who works for the firm of the job that the mail's `about` begins with."""
    with installation.store.reading() as session:
        firm_id = firm_of_job(session, mail.about.partition("/")[0])
        firm = accounts.accounts_of(session, firm_id) if firm_id else ()
    return tuple(one for one in firm if one.ended_at is None)


def _with(people: tuple[Account, ...], *roles: Role) -> tuple[Account, ...]:
    return tuple(one for one in people if set(roles) & set(one.roles))


RECIPIENTS: Mapping[MailKind, Callable[[Installation, Mail], tuple[Account, ...]]] = (
    MappingProxyType(
        {
            MailKind.RELEASE_WAITING: _supervisors,
            MailKind.REFUSED: _signers,
            MailKind.MESSAGE: _office_and_supervisors,
            MailKind.LOOK_DUE: _office_and_owners,
        }
    )
)
"""Who is told of what goes to several people; all else names its one reader."""
LETTERS: Mapping[MailKind, Callable[[Installation, Mail, datetime], Letter | None]] = (
    MappingProxyType(
        {
            MailKind.INVITATION: _invitation,
            MailKind.PACK_READY: _pack_ready,
            MailKind.RELEASE_WAITING: _signature,
            MailKind.REFUSED: _signature,
            MailKind.MESSAGE: _message,
            MailKind.LOOK_DUE: _look_due,
        }
    )
)
"""What each kind says; nothing where nobody is to be told any more."""
