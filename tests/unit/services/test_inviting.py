"""Invitations: a link that works once, within seven days, for whom it was meant."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.accepting import accept
from qa.services.access import Actor, Role
from qa.services.installation import Installation
from qa.services.inviting import WORKS_FOR, Link, end_invitation, invite, look_at
from qa.services.people import end, everyone, link_for_new_password
from qa.services.signing_in import actor_of, prove_by_password
from qa.services.typed_people import TypedPerson, read_person
from qa.store.tables import InvitationRow
from tests.accounts import HERE, NOON, account, add_account, add_firm

NEW_PASSWORD = "cold wind from the north"
NELL = TypedPerson(email="nell@firm.example", name="Nell Sample", roles=frozenset({Role.INSTALLER}))


@pytest.fixture
def firm(installation: Installation) -> str:
    return add_firm(installation, "Invented Roofs")


@pytest.fixture
def owner(installation: Installation, firm: str) -> Actor:
    return add_account(installation, firm, "ives", Role.OWNER)


def token_of(link: Link) -> str:
    return link.address.rpartition("/")[2]


def accepted(installation: Installation, link: Link, *, days: float = 0) -> str | None:
    return accept(
        installation,
        token_of(link),
        name="Nell  Sample",
        password=NEW_PASSWORD,
        now=NOON + timedelta(days=days),
    ).session_mark


def test_accepted_invitation_is_a_person_signed_in(
    installation: Installation, owner: Actor
) -> None:
    link = invite(installation, owner, NELL, now=NOON)
    mark = accepted(installation, link)
    assert mark is not None
    actor = actor_of(installation, mark, now=NOON)
    assert actor is not None
    assert (actor.key, actor.name, actor.roles) == ("nell", "Nell Sample", {Role.INSTALLER})
    assert prove_by_password(
        installation, "nell@firm.example", NEW_PASSWORD, address=HERE, now=NOON
    )


def test_link_works_once(installation: Installation, owner: Actor) -> None:
    link = invite(installation, owner, NELL, now=NOON)
    accepted(installation, link)
    with pytest.raises(NotFoundError, match="does not work any more"):
        accepted(installation, link)


def test_link_works_for_seven_days(installation: Installation, owner: Actor) -> None:
    link = invite(installation, owner, NELL, now=NOON)
    nearly = NOON + WORKS_FOR - timedelta(seconds=1)
    assert look_at(installation, token_of(link), now=nearly).email == NELL.email
    with pytest.raises(NotFoundError):
        accepted(installation, link, days=7)


def test_token_is_long_and_kept_as_digest_only(installation: Installation, owner: Actor) -> None:
    """43 signs of base64url are 256 bits; 128 are the least."""
    token = token_of(invite(installation, owner, NELL, now=NOON))
    assert len(token) == 43
    with installation.store.reading() as session:
        (row,) = session.scalars(select(InvitationRow))
        assert token not in row.token_hash


def test_ended_invitation_lets_nobody_in(installation: Installation, owner: Actor) -> None:
    link = invite(installation, owner, NELL, now=NOON)
    (waiting,) = everyone(installation, owner, now=NOON).invited
    end_invitation(installation, owner, waiting.id, now=NOON)
    with pytest.raises(NotFoundError):
        accepted(installation, link)
    with pytest.raises(NotFoundError):
        end_invitation(installation, owner, waiting.id, now=NOON)


def test_invitation_of_another_firm_cannot_be_ended(
    installation: Installation, owner: Actor
) -> None:
    invite(installation, owner, NELL, now=NOON)
    (waiting,) = everyone(installation, owner, now=NOON).invited
    rival = add_account(installation, add_firm(installation, "Rival"), "una", Role.OWNER)
    with pytest.raises(NotFoundError):
        end_invitation(installation, rival, waiting.id, now=NOON)


def test_only_the_newest_link_works(installation: Installation, owner: Actor) -> None:
    first = invite(installation, owner, NELL, now=NOON)
    second = invite(installation, owner, NELL, now=NOON)
    with pytest.raises(NotFoundError):
        accepted(installation, first)
    assert accepted(installation, second)


@pytest.mark.parametrize(
    ("role", "may"),
    [(Role.INSTALLER, False), (Role.SUPERVISOR, False), (Role.OFFICE, True), (Role.OWNER, True)],
)
def test_office_and_owner_invite(
    installation: Installation, firm: str, role: Role, may: bool
) -> None:
    actor = add_account(installation, firm, "pat", role)
    if may:
        assert invite(installation, actor, NELL, now=NOON)
    else:
        with pytest.raises(NotAllowedError):
            invite(installation, actor, NELL, now=NOON)


def test_only_an_owner_invites_an_owner(
    installation: Installation, firm: str, owner: Actor
) -> None:
    second = TypedPerson(
        email="una@firm.example", name="Una Sample", roles=frozenset({Role.OWNER, Role.OFFICE})
    )
    office = add_account(installation, firm, "ona", Role.OFFICE)
    with pytest.raises(NotAllowedError, match="only an owner"):
        invite(installation, office, second, now=NOON)
    assert invite(installation, owner, second, now=NOON)


def test_invitations_end_with_whoever_made_them(
    installation: Installation, firm: str, owner: Actor
) -> None:
    office = add_account(installation, firm, "ona", Role.OFFICE)
    link = invite(installation, office, NELL, now=NOON)
    end(installation, owner, "ona", now=NOON)
    with pytest.raises(NotFoundError):
        accepted(installation, link)


def test_colleagues_email_is_told_and_a_strangers_is_not(
    installation: Installation, owner: Actor
) -> None:
    rivals = add_firm(installation, "Rival")
    add_account(installation, rivals, "nell", Role.INSTALLER)
    link = invite(installation, owner, NELL, now=NOON)
    with pytest.raises(AccountError, match="signs in with nell@firm\\.example already"):
        accepted(installation, link)
    ives = TypedPerson(email="ives@firm.example", name="Ives", roles=frozenset({Role.OFFICE}))
    with pytest.raises(AccountError, match="Ives Sample has this e-mail already"):
        invite(installation, owner, ives, now=NOON)


def test_failed_acceptance_leaves_the_link_working(
    installation: Installation, owner: Actor
) -> None:
    link = invite(installation, owner, NELL, now=NOON)
    with pytest.raises(AccountError, match="has 5 characters"):
        accept(installation, token_of(link), name="Nell", password="short", now=NOON)
    with pytest.raises(AccountError, match="name is missing"):
        accept(installation, token_of(link), name=" ", password=NEW_PASSWORD, now=NOON)
    assert accepted(installation, link)


def test_same_name_gets_a_key_of_its_own(
    installation: Installation, firm: str, owner: Actor
) -> None:
    add_account(installation, firm, "nell", Role.INSTALLER)
    end(installation, owner, "nell", now=NOON)
    link = invite(installation, owner, NELL, now=NOON)  # the e-mail is free again
    mark = accepted(installation, link)
    assert mark is not None
    actor = actor_of(installation, mark, now=NOON)
    assert actor is not None
    assert actor.key == "nell-sample"


def test_new_password_ends_sessions_and_signs_nobody_in(
    installation: Installation, firm: str, owner: Actor
) -> None:
    add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell")
    link = link_for_new_password(installation, owner, "nell", now=NOON)
    assert accepted(installation, link) is None
    assert actor_of(installation, former.session_mark, now=NOON) is None
    assert account(installation, firm, "nell").name == former.name
    assert prove_by_password(
        installation, "nell@firm.example", NEW_PASSWORD, address=HERE, now=NOON
    )


def test_every_fault_of_what_was_typed_is_told() -> None:
    with pytest.raises(AccountError) as refused:
        read_person(email="no address", name="x" * 81, roles=())
    assert [problem.field for problem in refused.value.problems] == [
        "account.email",
        "account.name",
        "account.roles",
    ]


NO_EMAILS = ("", "@", "a@", "@b", "a b@c.example", "a@b@c", "a<b@c.example", "a\u202e@b.example")


@pytest.mark.parametrize("email", [*NO_EMAILS, "a" * 250 + "@b.example"])
def test_what_is_no_email_is_refused(email: str) -> None:
    with pytest.raises(AccountError, match="no e-mail address"):
        read_person(email=email, name="Nell", roles=("installer",))


def test_unknown_role_is_refused() -> None:
    with pytest.raises(AccountError, match="The roles are installer"):
        read_person(email="a@b.example", name="Nell", roles=("installer", "admin"))
