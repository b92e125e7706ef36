"""Signing in: by what somebody types, as far as their roles ask for, and until a mark changes."""

from __future__ import annotations

from datetime import timedelta

import pyotp
import pytest
from argon2 import PasswordHasher

from qa.errors import NotSignedInError, TooOftenError
from qa.services.access import Act, Role
from qa.services.authenticators import seal_secret
from qa.services.installation import Installation
from qa.services.passwords import is_out_of_date, is_password
from qa.services.recovery import keep_new_codes
from qa.services.signing_in import Proof, actor_of, prove_by_code, prove_by_password
from qa.store import accounts
from tests.accounts import HERE, NOON, PASSWORD, account, acting, add_account, add_firm

SECRET = "JBSWY3DPEHPK3PXPJBSWY3DPEHPK3PXP"


def signed_in(
    installation: Installation, email: str, password: str = PASSWORD, *, address: str = HERE
) -> Proof | None:
    return prove_by_password(installation, email, password, address=address, now=NOON)


def give_authenticator(installation: Installation, person_id: str) -> None:
    sealed = seal_secret(installation, person_id, SECRET)
    with installation.store.writing() as session:
        accounts.set_authenticator(session, person_id, sealed, step=0)


def code_at(seconds: int) -> str:
    return pyotp.TOTP(SECRET).at(NOON + timedelta(seconds=seconds))


def test_right_password_is_a_session_that_acts(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    proof = signed_in(installation, " NELL@firm.example ")
    assert proof is not None
    assert proof.is_enough
    assert actor_of(installation, proof.session_mark, now=NOON) == nell


def test_wrong_password_and_unknown_person_look_the_same(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    add_account(installation, firm, "nell", Role.INSTALLER)
    assert signed_in(installation, "nell@firm.example", "wrong password") is None
    assert signed_in(installation, "nobody@firm.example") is None
    assert signed_in(installation, "") is None


def test_unknown_person_is_throttled_like_a_known_one(installation: Installation) -> None:
    for _ in range(10):
        assert signed_in(installation, "nobody@firm.example") is None
    with pytest.raises(TooOftenError):
        signed_in(installation, "Nobody@firm.example", address="198.51.100.1")


def test_throttled_account_takes_not_even_the_right_password(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    add_account(installation, firm, "nell", Role.INSTALLER)
    for _ in range(10):
        signed_in(installation, "nell@firm.example", "wrong password")
    with pytest.raises(TooOftenError):
        signed_in(installation, "nell@firm.example")


def test_hash_of_older_parameters_is_renewed(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    older = PasswordHasher(time_cost=1, memory_cost=8192).hash(PASSWORD)
    with installation.store.writing() as session:
        accounts.set_password(session, nell.person_id, older)
    proof = signed_in(installation, "nell@firm.example")
    kept = account(installation, firm, "nell")
    assert not is_out_of_date(kept.password_hash)
    assert is_password(kept.password_hash, PASSWORD)
    assert proof is not None
    assert kept.session_mark == proof.session_mark  # nobody is signed out by it


def test_session_ends_with_the_employment(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    mark = account(installation, firm, "nell").session_mark
    with installation.store.writing() as session:
        accounts.end_account(session, nell.person_id, session_mark="other", now=NOON)
    assert actor_of(installation, mark, now=NOON) is None
    assert actor_of(installation, "other", now=NOON) is None
    assert signed_in(installation, "nell@firm.example") is None


def test_supervisor_has_no_rights_before_a_second_factor(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    assert orla.owes_second_factor
    assert [act for act in Act if orla.may(act)] == [Act.KEEP_OWN_ACCOUNT]
    give_authenticator(installation, orla.person_id)
    assert acting(installation, firm, "orla").may(Act.RELEASE)


def test_other_roles_of_a_supervisor_stay_in_force(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR, Role.INSTALLER)
    assert orla.roles == {Role.INSTALLER}
    assert orla.owes_second_factor


@pytest.mark.parametrize(("seconds", "fits"), [(-60, False), (-30, True), (30, True), (60, False)])
def test_code_may_be_one_step_off(installation: Installation, seconds: int, fits: bool) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    give_authenticator(installation, orla.person_id)
    proof = signed_in(installation, "orla@firm.example")
    assert proof is not None
    assert proof.asks_for_code
    assert not proof.is_enough
    assert prove_by_code(installation, proof.session_mark, code_at(seconds), now=NOON) is fits


def test_code_works_once(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    give_authenticator(installation, orla.person_id)
    mark = account(installation, firm, "orla").session_mark
    code = code_at(0)
    assert prove_by_code(installation, mark, f"{code[:3]} {code[3:]}", now=NOON)
    assert not prove_by_code(installation, mark, code, now=NOON)
    assert not prove_by_code(installation, mark, code_at(-30), now=NOON)
    assert prove_by_code(installation, mark, code_at(30), now=NOON)


def test_codes_cannot_be_tried_out(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    give_authenticator(installation, orla.person_id)
    mark = account(installation, firm, "orla").session_mark
    for typed in ("", "1234567", "０００００００", "é", "12345a"):
        assert not prove_by_code(installation, mark, typed, now=NOON)
    assert not prove_by_code(installation, mark, code_at(300), now=NOON)
    with pytest.raises(TooOftenError):
        prove_by_code(installation, mark, code_at(0), now=NOON)


def test_recovery_code_works_once_however_it_is_typed(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    give_authenticator(installation, orla.person_id)
    with installation.store.writing() as session:
        codes = keep_new_codes(installation, session, orla.person_id)
    mark = account(installation, firm, "orla").session_mark
    typed = f" {codes[3].upper().replace('-', ' ')} "
    assert prove_by_code(installation, mark, typed, now=NOON)
    assert not prove_by_code(installation, mark, codes[3], now=NOON)
    assert prove_by_code(installation, mark, codes[4], now=NOON)


def test_recovery_code_of_somebody_else_is_none(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    add_account(installation, firm, "omar", Role.SUPERVISOR)
    with installation.store.writing() as session:
        codes = keep_new_codes(installation, session, orla.person_id)
    mark = account(installation, firm, "omar").session_mark
    assert not prove_by_code(installation, mark, codes[0], now=NOON)


def test_first_proof_ends_with_the_mark(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    orla = add_account(installation, firm, "orla", Role.SUPERVISOR)
    give_authenticator(installation, orla.person_id)
    mark = account(installation, firm, "orla").session_mark
    with installation.store.writing() as session:
        accounts.set_session_mark(session, orla.person_id, "another")
    with pytest.raises(NotSignedInError):
        prove_by_code(installation, mark, code_at(0), now=NOON)


def test_secrets_do_not_show_in_what_is_printed(installation: Installation) -> None:
    firm = add_firm(installation, "Invented Roofs")
    add_account(installation, firm, "nell", Role.INSTALLER)
    kept = account(installation, firm, "nell")
    proof = signed_in(installation, "nell@firm.example")
    for shown in (repr(kept), repr(proof)):
        assert kept.session_mark not in shown
        assert kept.password_hash not in shown
