"""Invitations by link: made, looked at, ended.

The link is shown once, to whoever made it, and works once within seven days; the database knows
only its digest. Only the newest link to an e-mail works.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from sqlalchemy.orm import Session

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.access import Act, Actor, Role, require
from qa.services.invitation_links import invitation_address, invitation_token
from qa.services.mail_tasks import Mail, MailKind, enqueue_mail
from qa.services.typed_people import TypedPerson, fault_of
from qa.services.vault import plain_digest
from qa.store import accounts, invitations
from qa.store.accounts import Account
from qa.store.invitations import Invitation

if TYPE_CHECKING:
    from qa.services.installation import Installation

WORKS_FOR = timedelta(days=7)


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link that was just made.

    Attributes:
        address: the whole address, to be sent to the person; it is not shown again.
        expires_at: until when it works.
    """

    address: str = field(repr=False)
    name: str
    email: str
    expires_at: datetime


def invite(installation: Installation, actor: Actor, person: TypedPerson, *, now: datetime) -> Link:
    """Invites a person into the actor's firm.

    Raises:
        NotAllowedError: the actor may not invite, or names an owner without being one.
        AccountError: the firm has somebody with that e-mail.
    """
    require(actor, Act.INVITE)
    if Role.OWNER in person.roles and Role.OWNER not in actor.roles:
        raise NotAllowedError(
            f"{actor.name} may not invite an owner; only an owner may. Nothing was saved."
        )
    with installation.store.writing() as session:
        return make_invitation(
            installation, session, actor.firm_id, person, invited_by=actor.person_id, now=now
        )


def make_invitation(
    installation: Installation,
    session: Session,
    firm_id: str,
    person: TypedPerson,
    *,
    invited_by: str | None,
    now: datetime,
) -> Link:
    """Makes an invitation in the caller's transaction.

    Raises:
        AccountError: the firm has somebody with that e-mail.
    """
    held = accounts.account_by_email(session, person.email)
    # Of another firm's people nothing is told; whoever is invited learns it from the link.
    if held is not None and held.firm_id == firm_id:
        raise AccountError(
            fault_of("email", f"{held.name} has this e-mail already and may sign in with it.")
        )
    return _make(
        installation, session, firm_id, person, person_id=None, invited_by=invited_by, now=now
    )


def make_new_password_link(
    installation: Installation,
    session: Session,
    account: Account,
    *,
    invited_by: str | None,
    now: datetime,
) -> Link:
    """Makes a link by which a person gives themselves a new password; nothing else changes."""
    person = TypedPerson(
        email=account.email or "", name=account.name, roles=frozenset(map(Role, account.roles))
    )
    return _make(
        installation, session, account.firm_id, person,
        person_id=account.id, invited_by=invited_by, now=now,
    )  # fmt: skip


def look_at(installation: Installation, token: str, *, now: datetime) -> Invitation:
    """The invitation that a link leads to.

    Raises:
        NotFoundError: used, ended, too old, or never made.
    """
    with installation.store.reading() as session:
        return open_invitation(session, token, now=now)


def firm_that_invites(installation: Installation, invitation: Invitation) -> str:
    """The name of the firm whose invitation it is."""
    with installation.store.reading() as session:
        firm = accounts.firm_by_id(session, invitation.firm_id)
    return firm.name if firm else ""


def open_invitation(session: Session, token: str, *, now: datetime) -> Invitation:
    """The same in the caller's transaction.

    Raises:
        NotFoundError: used, ended, too old, or never made.
    """
    found = invitations.open_by_token(session, plain_digest(token), now=now)
    if found is None:
        raise NotFoundError(
            "This link does not work any more: it was used, was ended, or is older than "
            f"{WORKS_FOR.days} days. Ask whoever sent it for a new one. If you have used it "
            "yourself, sign in."
        )
    return found


def end_invitation(
    installation: Installation, actor: Actor, invitation_id: str, *, now: datetime
) -> None:
    """Ends an invitation of the actor's firm, so that its link does not work any more.

    Raises:
        NotAllowedError: the actor may not invite.
        NotFoundError: none of the firm's that is open.
    """
    require(actor, Act.INVITE)
    with installation.store.writing() as session:
        if not invitations.end_invitation(session, actor.firm_id, invitation_id, now=now):
            raise NotFoundError("This invitation was used or ended already, or never was.")


def _make(
    installation: Installation,
    session: Session,
    firm_id: str,
    person: TypedPerson,
    *,
    person_id: str | None,
    invited_by: str | None,
    now: datetime,
) -> Link:
    id_ = installation.new_id()
    token = invitation_token(installation, id_)
    invitations.end_invitations_to(session, firm_id, person.email, now=now)
    invitations.add_invitation(
        session,
        Invitation(
            id=id_,
            firm_id=firm_id,
            token_hash=plain_digest(token),
            email=person.email,
            name=person.name,
            roles=tuple(sorted(person.roles)),
            person_id=person_id,
            invited_by=invited_by,
            created_at=now,
            expires_at=now + WORKS_FOR,
        ),
    )
    enqueue_mail(installation, session, Mail(kind=MailKind.INVITATION, about=id_), now=now)
    return Link(
        address=invitation_address(installation, id_),
        name=person.name,
        email=person.email,
        expires_at=now + WORKS_FOR,
    )
