"""What the keeper does at the command line: a firm's first owner, and help for the locked out."""

from __future__ import annotations

import pytest

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.accepting import accept
from qa.services.access import Role
from qa.services.installation import Installation
from qa.services.keeper import (
    add_person,
    end_person,
    list_people,
    new_password_link,
    reset_second_factor,
)
from qa.services.signing_in import actor_of
from qa.services.typed_people import TypedPerson
from qa.store import accounts
from tests.accounts import NOON, account, add_account, add_firm

OWNER = TypedPerson(email="ives@firm.example", name="Ives Sample", roles=frozenset({Role.OWNER}))
NELL = TypedPerson(email="nell@firm.example", name="Nell", roles=frozenset({Role.INSTALLER}))


def test_fresh_installation_gets_its_first_owner(installation: Installation) -> None:
    link = add_person(installation, "Invented Roofs", OWNER, now=NOON)
    assert link.address.startswith(f"{installation.settings.origin}/invitations/")
    token = link.address.rpartition("/")[2]
    mark = accept(
        installation, token, name=OWNER.name, password="wet deck nail gun", now=NOON
    ).session_mark
    assert mark is not None
    actor = actor_of(installation, mark, now=NOON)
    assert actor is not None
    assert actor.roles == {Role.OWNER}
    (listed,) = list_people(installation)
    assert (listed.firm, listed.key, listed.email) == ("Invented Roofs", "ives", OWNER.email)


def test_first_person_of_a_firm_is_an_owner(installation: Installation) -> None:
    with pytest.raises(AccountError, match="first person must be an owner"):
        add_person(installation, "Invented Roofs", NELL, now=NOON)
    with installation.store.reading() as session:
        assert accounts.firms(session) == ()


def test_known_firm_is_joined_and_doubtful_ones_are_not(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    add_person(installation, " Invented  Roofs ", NELL, now=NOON)
    with installation.store.reading() as session:
        assert [one.id for one in accounts.firms(session)] == [firm]
    add_firm(installation, "Invented Roofs")
    with pytest.raises(AccountError, match="2 firms are called"):
        add_person(installation, "Invented Roofs", NELL, now=NOON)
    with pytest.raises(AccountError, match="visible characters"):
        add_person(installation, " ", OWNER, now=NOON)


def test_reset_takes_every_second_factor_and_session(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    with installation.store.writing() as session:
        accounts.set_authenticator(session, orla.person_id, b"sealed", step=1)
    former = account(installation, firm, "orla").session_mark
    assert reset_second_factor(installation, "Orla@firm.example") == "Orla Sample"
    assert not account(installation, firm, "orla").has_second_factor
    assert actor_of(installation, former, now=NOON) is None


def test_end_and_link_find_people_by_email(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    add_account(installation, firm, "ives", Role.OWNER)
    add_account(installation, firm, "nell", Role.INSTALLER)
    assert new_password_link(installation, "nell@firm.example", now=NOON).name == "Nell Sample"
    assert end_person(installation, "nell@firm.example", now=NOON) == "Nell Sample"
    with pytest.raises(NotFoundError, match="Nobody signs in with nell"):
        new_password_link(installation, "nell@firm.example", now=NOON)
    with pytest.raises(NotAllowedError, match="last owner"):
        end_person(installation, "ives@firm.example", now=NOON)
