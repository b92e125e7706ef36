"""Tokens: shown once, kept hashed, acting as their person with the roles in force, until ended."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select

from qa.errors import AccountError, NotFoundError, TooOftenError
from qa.services.access import Actor, Role
from qa.services.api_tokens import (
    MOST_AT_ONCE,
    PREFIX,
    REQUESTS_OF_TOKEN,
    WRONG_TOKENS_FROM_ADDRESS,
    actor_by_token,
    end_token,
    make_token,
    token,
    tokens_of,
)
from qa.services.confirming import Confirmation
from qa.services.installation import Installation
from qa.store import accounts
from qa.store.tables import ApiTokenRow
from tests.accounts import HERE, NOON, PASSWORD, add_account, add_firm

FRESH = Confirmation(proven_at=NOON)


@pytest.fixture
def orla(installation: Installation) -> Actor:
    firm = add_firm(installation, "Invented Roofs")
    return add_account(installation, firm, "orla", Role.INSTALLER, Role.SUPERVISOR)


def made(installation: Installation, actor: Actor, *, days: int = 30, name: str = "logger") -> str:
    return make_token(installation, actor, FRESH, name=name, days=days, now=NOON).token


def test_token_acts_as_its_person(installation: Installation, orla: Actor) -> None:
    assert actor_by_token(installation, made(installation, orla), address=HERE, now=NOON) == orla


def test_token_is_long_and_kept_hashed(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla)
    assert len(word.removeprefix(PREFIX)) >= 43  # 256 bits in base64url
    with installation.store.reading() as session:
        kept = session.scalars(select(ApiTokenRow.token_hash)).one()
    assert len(kept) == 64
    assert kept not in word


def test_roles_are_those_in_force_now(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla)
    with installation.store.writing() as session:
        accounts.set_roles(session, orla.person_id, ("office",))
    now = actor_by_token(installation, word, address=HERE, now=NOON)
    assert now is not None
    assert now.roles == {Role.OFFICE}


def test_supervisor_without_second_factor_stays_none(
    installation: Installation, orla: Actor
) -> None:
    actor = actor_by_token(installation, made(installation, orla), address=HERE, now=NOON)
    assert actor is not None
    assert actor.owes_second_factor
    assert Role.SUPERVISOR not in actor.roles


def test_token_works_until_its_day(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla, days=30)
    last, after = NOON + timedelta(days=30, seconds=-1), NOON + timedelta(days=30)
    assert actor_by_token(installation, word, address=HERE, now=last) is not None
    assert actor_by_token(installation, word, address=HERE, now=after) is None
    assert tokens_of(installation, orla, now=after) == ()


def test_ended_token_is_refused(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla)
    (held,) = tokens_of(installation, orla, now=NOON)
    end_token(installation, orla, held.id, FRESH, now=NOON)
    assert actor_by_token(installation, word, address=HERE, now=NOON) is None
    with pytest.raises(NotFoundError):
        token(installation, orla, held.id, now=NOON)
    with pytest.raises(NotFoundError):
        end_token(installation, orla, held.id, FRESH, now=NOON)


def test_token_ends_with_the_account(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla)
    with installation.store.writing() as session:
        accounts.end_account(session, orla.person_id, session_mark="ended", now=NOON)
    assert actor_by_token(installation, word, address=HERE, now=NOON) is None


def test_nobody_ends_the_token_of_another(installation: Installation, orla: Actor) -> None:
    made(installation, orla)
    other = add_account(installation, orla.firm_id, "tam", Role.OWNER)
    (held,) = tokens_of(installation, orla, now=NOON)
    with pytest.raises(NotFoundError):
        end_token(installation, other, held.id, FRESH, now=NOON)
    assert tokens_of(installation, other, now=NOON) == ()


def test_making_and_ending_ask_for_the_password(installation: Installation, orla: Actor) -> None:
    wrong, right = Confirmation(password="wrong"), Confirmation(password=PASSWORD)
    with pytest.raises(AccountError):
        make_token(installation, orla, wrong, name="logger", days=30, now=NOON)
    make_token(installation, orla, right, name="logger", days=30, now=NOON)
    (held,) = tokens_of(installation, orla, now=NOON)
    with pytest.raises(AccountError):
        end_token(installation, orla, held.id, wrong, now=NOON)


@pytest.mark.parametrize(
    ("name", "days"), [("", 30), ("  ", 30), ("n" * 61, 30), ("a\x00b", 30), ("logger", 31)]
)
def test_bad_name_or_span_is_refused(
    installation: Installation, orla: Actor, name: str, days: int
) -> None:
    with pytest.raises(AccountError):
        made(installation, orla, days=days, name=name)


def test_a_person_has_a_bounded_number(installation: Installation, orla: Actor) -> None:
    for _ in range(MOST_AT_ONCE):
        made(installation, orla)
    with pytest.raises(AccountError, match="End one"):
        made(installation, orla)


def test_use_is_kept_to_the_minute(installation: Installation, orla: Actor) -> None:
    word = made(installation, orla)
    for seconds, kept in [(0, 0), (30, 0), (60, 60)]:
        actor_by_token(installation, word, address=HERE, now=NOON + timedelta(seconds=seconds))
        (held,) = tokens_of(installation, orla, now=NOON)
        assert held.used_at == NOON + timedelta(seconds=kept)


def test_guessing_from_one_address_is_slowed(installation: Installation) -> None:
    for _ in range(WRONG_TOKENS_FROM_ADDRESS.tries):
        assert actor_by_token(installation, "guess", address=HERE, now=NOON) is None
    with pytest.raises(TooOftenError):
        actor_by_token(installation, "guess", address=HERE, now=NOON)


def test_one_program_cannot_take_the_whole_site(
    installation: Installation, orla: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    word = made(installation, orla)
    monkeypatch.setattr(
        "qa.services.api_tokens.REQUESTS_OF_TOKEN",
        type(REQUESTS_OF_TOKEN)(what="token", tries=2, span=REQUESTS_OF_TOKEN.span),
    )
    for _ in range(2):
        assert actor_by_token(installation, word, address=HERE, now=NOON) is not None
    with pytest.raises(TooOftenError):
        actor_by_token(installation, word, address=HERE, now=NOON)
    later = NOON + REQUESTS_OF_TOKEN.span
    assert actor_by_token(installation, word, address=HERE, now=later) is not None
