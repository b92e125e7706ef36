"""Passkeys: made for one person, asked once, answered once, by whoever the phone has recognised."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from qa.errors import AccountError, NotAllowedError, NotFoundError
from qa.services.access import Actor, Role
from qa.services.confirming import Confirmation
from qa.services.installation import Installation
from qa.services.passkey_questions import ANSWER_WITHIN
from qa.services.passkey_sign_in import ask_for_passkey, prove_by_passkey
from qa.services.passkeys import add_passkey, ask_for_new_passkey, passkeys_of, remove_passkey
from qa.services.signing_in import Proof, actor_of
from tests.accounts import HERE, NOON, account, acting, add_account, add_firm
from tests.software_key import PRESENT, SoftwareKey

FRESH = Confirmation(proven_at=NOON)


@pytest.fixture
def firm(installation: Installation) -> str:
    return add_firm(installation, "Invented Roofs")


@pytest.fixture
def orla(installation: Installation, firm: str) -> Actor:
    return add_account(installation, firm, "orla", Role.SUPERVISOR)


@pytest.fixture
def key(installation: Installation) -> SoftwareKey:
    return SoftwareKey(origin=installation.settings.origin)


def given(installation: Installation, actor: Actor, key: SoftwareKey) -> str:
    """Gives the actor the passkey and answers the mark of the session that goes on."""
    options = ask_for_new_passkey(installation, actor, FRESH, now=NOON)
    return add_passkey(
        installation, actor, key.make(options), name="my phone", now=NOON
    ).session_mark


def asked(installation: Installation, mark: str | None = None) -> str:
    return ask_for_passkey(installation, session_mark=mark, address=HERE, now=NOON)


def proven(installation: Installation, answer: str, mark: str | None = None) -> Proof | None:
    return prove_by_passkey(installation, answer, session_mark=mark, now=NOON)


def test_passkey_alone_signs_in(installation: Installation, orla: Actor, key: SoftwareKey) -> None:
    given(installation, orla, key)
    proof = proven(installation, key.answer(asked(installation)))
    assert proof is not None
    assert proof.is_enough
    actor = actor_of(installation, proof.session_mark, now=NOON)
    assert actor is not None
    assert (actor.key, actor.roles) == ("orla", {Role.SUPERVISOR})
    (kept,) = passkeys_of(installation, orla)
    assert (kept.name, kept.sign_count, kept.used_at) == ("my phone", 1, NOON)


def test_question_names_no_passkey_to_strangers(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    mark = given(installation, orla, key)
    assert not json.loads(asked(installation)).get("allowCredentials")
    assert len(json.loads(asked(installation, mark))["allowCredentials"]) == 1


def test_answer_works_once(installation: Installation, orla: Actor, key: SoftwareKey) -> None:
    given(installation, orla, key)
    answer = key.answer(asked(installation))
    assert proven(installation, answer) is not None
    assert proven(installation, answer) is None


def test_answer_that_comes_late_is_none(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    answer = key.answer(asked(installation))
    late = NOON + ANSWER_WITHIN
    assert prove_by_passkey(installation, answer, session_mark=None, now=late) is None


@pytest.mark.parametrize(
    "change",
    [{"origin": "https://elsewhere.example"}, {"rp_id": "elsewhere.example"}, {"flags": PRESENT}],
    ids=["another site", "another name", "nobody recognised"],
)
def test_forged_answer_proves_nobody(
    installation: Installation, orla: Actor, key: SoftwareKey, change: dict[str, object]
) -> None:
    given(installation, orla, key)
    for name, value in change.items():
        setattr(key, name, value)
    assert proven(installation, key.answer(asked(installation))) is None


def test_signature_of_another_key_proves_nobody(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    thief = SoftwareKey(origin=key.origin, credential_id=key.credential_id)
    assert proven(installation, thief.answer(asked(installation))) is None
    assert proven(installation, key.answer(asked(installation))) is not None


def test_copied_key_is_found_by_its_count(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    key.count = 7
    assert proven(installation, key.answer(asked(installation))) is not None
    key.count = 3
    assert proven(installation, key.answer(asked(installation))) is None


@pytest.mark.parametrize(
    "answer",
    ["", "{}", "null", "[]", '{"id": 1}', "x" * 40_000, '{"id":"","rawId":"","response":{}}'],
)
def test_answer_that_is_none_proves_nobody(
    installation: Installation, orla: Actor, answer: str
) -> None:
    assert proven(installation, answer) is None
    with pytest.raises(AccountError, match="could not be kept"):
        add_passkey(installation, orla, answer, name="", now=NOON)


@pytest.mark.parametrize("part", ["clientDataJSON", "authenticatorData", "signature"])
def test_mangled_part_proves_nobody(
    installation: Installation, orla: Actor, key: SoftwareKey, part: str
) -> None:
    given(installation, orla, key)
    for mangled in ("", "AAAA", "!", None, 7, ["x"], "e30"):
        sent = json.loads(key.answer(asked(installation)))
        sent["response"][part] = mangled
        assert proven(installation, json.dumps(sent)) is None


def test_answer_in_the_name_of_another_proves_nobody(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    key.user_handle = bytes(16)
    assert proven(installation, key.answer(asked(installation))) is None


@pytest.mark.parametrize("part", ["clientDataJSON", "attestationObject", "transports"])
def test_mangled_new_passkey_is_not_kept(
    installation: Installation, orla: Actor, key: SoftwareKey, part: str
) -> None:
    for mangled in ("", "AAAA", "!", None, 7, "e30"):
        options = ask_for_new_passkey(installation, orla, FRESH, now=NOON)
        sent = json.loads(key.make(options))
        sent["response"][part] = mangled
        try:
            add_passkey(installation, orla, json.dumps(sent), name="", now=NOON)
        except AccountError:
            assert passkeys_of(installation, orla) == ()
        else:  # how a key is reached is no more than a hint
            assert part == "transports"
            break


def test_passkey_of_somebody_else_is_no_second_proof(
    installation: Installation, firm: str, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    nells = account(installation, firm, "nell").session_mark
    assert proven(installation, key.answer(asked(installation, nells)), nells) is None
    stray = key.answer(asked(installation))
    assert proven(installation, stray, nells) is None  # asked of nobody, answered for Nell
    assert nell.key == "nell"


def test_one_key_serves_one_person(
    installation: Installation, firm: str, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    options = ask_for_new_passkey(installation, nell, FRESH, now=NOON)
    with pytest.raises(AccountError):
        add_passkey(installation, nell, key.make(options), name="", now=NOON)


def test_question_to_one_person_is_not_answered_by_another(
    installation: Installation, firm: str, orla: Actor, key: SoftwareKey
) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    options = ask_for_new_passkey(installation, nell, FRESH, now=NOON)
    with pytest.raises(AccountError):
        add_passkey(installation, orla, key.make(options), name="", now=NOON)


def test_supervisor_keeps_the_last_passkey(
    installation: Installation, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    second = SoftwareKey(origin=key.origin)
    given(installation, acting(installation, orla.firm_id, "orla"), second)
    first, last = passkeys_of(installation, orla)
    remove_passkey(installation, orla, first.id, FRESH, now=NOON + timedelta(minutes=1))
    with pytest.raises(NotAllowedError):
        remove_passkey(installation, orla, last.id, FRESH, now=NOON)
    with pytest.raises(NotFoundError):
        remove_passkey(installation, orla, first.id, FRESH, now=NOON)
    assert passkeys_of(installation, orla) == (last,)


def test_nobodys_passkey_can_be_removed_by_others(
    installation: Installation, firm: str, orla: Actor, key: SoftwareKey
) -> None:
    given(installation, orla, key)
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    (held,) = passkeys_of(installation, orla)
    with pytest.raises(NotFoundError):
        remove_passkey(installation, nell, held.id, FRESH, now=NOON)
