"""The firm's people: changed and ended by an owner, never without one, never across firms."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.access import Actor, Role
from qa.services.installation import Installation
from qa.services.own_account import (
    Appearance,
    change_password,
    choose_appearance,
    own_account,
    sign_out_everywhere,
)
from qa.services.people import change, crew, end, everyone, person
from qa.services.signing_in import actor_of, prove_by_password
from tests.accounts import HERE, NOON, PASSWORD, account, acting, add_account, add_firm

NEW_PASSWORD = "cold wind from the north"


@pytest.fixture
def firm(installation: Installation) -> str:
    return add_firm(installation, "Invented Roofs")


@pytest.fixture
def owner(installation: Installation, firm: str) -> Actor:
    return add_account(installation, firm, "ives", Role.OWNER)


def given_roles(installation: Installation, actor: Actor, key: str, *roles: Role) -> None:
    change(installation, actor, key, roles=frozenset(roles), competence="", now=NOON)


def test_changed_roles_end_the_sessions(
    installation: Installation, firm: str, owner: Actor
) -> None:
    add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell").session_mark
    given_roles(installation, owner, "nell", Role.OFFICE)
    assert actor_of(installation, former, now=NOON) is None
    assert acting(installation, firm, "nell").roles == {Role.OFFICE}


def test_changed_words_end_no_session(installation: Installation, firm: str, owner: Actor) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell").session_mark
    change(
        installation, owner, "nell", roles=nell.roles, competence=" Laminator,  2 years ", now=NOON
    )
    assert actor_of(installation, former, now=NOON) is not None
    assert person(installation, owner, "nell").competence == "Laminator, 2 years"
    with pytest.raises(AccountError):
        change(installation, owner, "nell", roles=nell.roles, competence="x" * 201, now=NOON)


def test_whoever_left_stays_in_the_list_and_out_of_the_site(
    installation: Installation, firm: str, owner: Actor
) -> None:
    add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell").session_mark
    end(installation, owner, "nell", now=NOON)
    assert actor_of(installation, former, now=NOON) is None
    assert not prove_by_password(
        installation, "nell@firm.example", PASSWORD, address=HERE, now=NOON
    )
    people = everyone(installation, owner, now=NOON)
    assert [one.key for one in people.left] == ["nell"]
    assert [one.key for one in people.here] == ["ives"]
    with pytest.raises(NotFoundError, match="has left"):
        given_roles(installation, owner, "nell", Role.OWNER)


def test_last_owner_neither_leaves_nor_steps_down(
    installation: Installation, firm: str, owner: Actor
) -> None:
    with pytest.raises(NotAllowedError, match="last owner"):
        end(installation, owner, "ives", now=NOON)
    with pytest.raises(NotAllowedError, match="last owner"):
        given_roles(installation, owner, "ives", Role.OFFICE)
    add_account(installation, firm, "una", Role.OWNER)
    given_roles(installation, owner, "ives", Role.OFFICE)
    assert acting(installation, firm, "ives").roles == {Role.OFFICE}


def test_two_owners_at_once_do_not_both_go(
    installation: Installation, firm: str, owner: Actor
) -> None:
    una = add_account(installation, firm, "una", Role.OWNER)

    def gone(actor: Actor) -> bool:
        try:
            end(installation, actor, actor.key, now=NOON)
        except NotAllowedError:
            return False
        return True

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(gone, (owner, una))) == [False, True]


@pytest.mark.parametrize("role", [Role.INSTALLER, Role.SUPERVISOR, Role.OFFICE])
def test_only_an_owner_changes_people(
    installation: Installation, firm: str, owner: Actor, role: Role
) -> None:
    other = add_account(installation, firm, "pat", role)
    with pytest.raises(NotAllowedError):
        given_roles(installation, other, "pat", Role.OWNER)
    with pytest.raises(NotAllowedError):
        end(installation, other, "ives", now=NOON)


def test_people_of_another_firm_are_not_there(installation: Installation, owner: Actor) -> None:
    rivals = add_firm(installation, "Rival")
    add_account(installation, rivals, "nell", Role.INSTALLER)
    for act in (
        lambda: person(installation, owner, "nell"),
        lambda: given_roles(installation, owner, "nell", Role.OWNER),
        lambda: end(installation, owner, "nell", now=NOON),
    ):
        with pytest.raises(NotFoundError):
            act()
    assert [one.key for one in everyone(installation, owner, now=NOON).here] == ["ives"]


def test_installers_do_not_see_the_list_but_the_crew(
    installation: Installation, firm: str, owner: Actor
) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    add_account(installation, firm, "orla", Role.SUPERVISOR)
    with pytest.raises(NotAllowedError):
        everyone(installation, nell, now=NOON)
    assert [one.key for one in crew(installation, nell)] == ["nell", "orla"]


def test_new_password_ends_every_other_session(installation: Installation, firm: str) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell").session_mark
    mark = change_password(installation, nell, former=PASSWORD, password=NEW_PASSWORD, now=NOON)
    assert actor_of(installation, former, now=NOON) is None
    assert actor_of(installation, mark, now=NOON) is not None
    assert not prove_by_password(
        installation, "nell@firm.example", PASSWORD, address=HERE, now=NOON
    )


def test_wrong_former_or_weak_new_password_changes_nothing(
    installation: Installation, firm: str
) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    kept = account(installation, firm, "nell")
    for former, password, field in (
        ("wrong password", NEW_PASSWORD, "account.password"),
        (PASSWORD, "short", "account.new_password"),
    ):
        with pytest.raises(AccountError) as refused:
            change_password(installation, nell, former=former, password=password, now=NOON)
        assert [problem.field for problem in refused.value.problems] == [field]
    assert account(installation, firm, "nell") == kept


def test_signing_out_everywhere_ends_this_session_too(
    installation: Installation, firm: str
) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    former = account(installation, firm, "nell").session_mark
    sign_out_everywhere(installation, nell)
    assert actor_of(installation, former, now=NOON) is None


def test_own_account_shows_what_it_holds(installation: Installation, firm: str) -> None:
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    choose_appearance(installation, orla, Appearance.DARK)
    own = own_account(installation, orla)
    assert own.roles == {Role.SUPERVISOR}  # also where it is not in force yet
    assert (own.firm, own.email, own.appearance) == (
        "Invented Roofs",
        "orla@firm.example",
        Appearance.DARK,
    )
    assert (own.passkeys, own.has_authenticator, own.recovery_codes_left) == (0, False, 0)
