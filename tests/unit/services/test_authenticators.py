"""An authenticator: set up with a right code, kept sealed, not to be gone without."""

from __future__ import annotations

from datetime import timedelta

import pyotp
import pytest

from qa.errors import AccountError, NotAllowedError
from qa.services.access import Actor, Role
from qa.services.authenticators import (
    SetUp,
    begin_authenticator,
    code_now,
    finish_authenticator,
    go_on_with,
    remove_authenticator,
)
from qa.services.confirming import FRESH_FOR, Confirmation
from qa.services.installation import Installation
from qa.services.recovery import recovery_codes_left, renew_recovery_codes
from qa.services.second_factor import Renewed
from qa.services.signing_in import actor_of, prove_by_code
from tests.accounts import NOON, PASSWORD, account, acting, add_account, add_firm

FRESH = Confirmation(proven_at=NOON)


@pytest.fixture
def firm(installation: Installation) -> str:
    return add_firm(installation, "Invented Roofs")


@pytest.fixture
def orla(installation: Installation, firm: str) -> Actor:
    return add_account(installation, firm, "orla", Role.SUPERVISOR)


def code_of(set_up: SetUp) -> str:
    return pyotp.TOTP(set_up.groups.replace(" ", "")).at(NOON)


def given(installation: Installation, actor: Actor, confirmation: Confirmation = FRESH) -> Renewed:
    set_up = begin_authenticator(installation, actor, now=NOON)
    return finish_authenticator(
        installation,
        actor,
        sealed=set_up.sealed,
        code=code_of(set_up),
        confirmation=confirmation,
        now=NOON,
    )


def test_right_code_brings_rights_and_ten_recovery_codes(
    installation: Installation, orla: Actor
) -> None:
    former = account(installation, orla.firm_id, "orla").session_mark
    renewed = given(installation, orla)
    assert len(set(renewed.recovery_codes)) == 10
    assert actor_of(installation, former, now=NOON) is None
    now_acting = actor_of(installation, renewed.session_mark, now=NOON)
    assert now_acting is not None
    assert now_acting.roles == {Role.SUPERVISOR}
    assert not now_acting.owes_second_factor


def test_code_of_the_set_up_signs_nobody_in_again(installation: Installation, orla: Actor) -> None:
    set_up = begin_authenticator(installation, orla, now=NOON)
    code = code_of(set_up)
    renewed = finish_authenticator(
        installation, orla, sealed=set_up.sealed, code=code, confirmation=FRESH, now=NOON
    )
    assert not prove_by_code(installation, renewed.session_mark, code, now=NOON)


def test_wrong_code_keeps_nothing_and_the_picture(installation: Installation, orla: Actor) -> None:
    set_up = begin_authenticator(installation, orla, now=NOON)
    with pytest.raises(AccountError, match="does not fit"):
        finish_authenticator(
            installation, orla, sealed=set_up.sealed, code="000000x", confirmation=FRESH, now=NOON
        )
    assert account(installation, orla.firm_id, "orla").totp_secret is None
    again = go_on_with(installation, orla, set_up.sealed, now=NOON)
    assert (again.groups, again.picture) == (set_up.groups, set_up.picture)


def test_set_up_of_somebody_else_or_of_yesterday_is_refused(
    installation: Installation, firm: str, orla: Actor
) -> None:
    tam = add_account(installation, firm, "tam", Role.INSTALLER)
    set_up = begin_authenticator(installation, tam, now=NOON)
    late = NOON + timedelta(hours=1, seconds=1)
    for actor, sealed, now in (
        (orla, set_up.sealed, NOON),
        (tam, set_up.sealed, late),
        (tam, "no seal", NOON),
        (tam, "", NOON),
    ):
        with pytest.raises(AccountError):
            finish_authenticator(
                installation,
                actor,
                sealed=sealed,
                code=code_of(set_up),
                confirmation=Confirmation(proven_at=now),
                now=now,
            )
        assert go_on_with(installation, actor, sealed, now=now).groups != set_up.groups


def test_stale_session_needs_the_password(installation: Installation, orla: Actor) -> None:
    stale = Confirmation(proven_at=NOON - FRESH_FOR)
    with pytest.raises(AccountError, match="not the password"):
        given(installation, orla, stale)
    with pytest.raises(AccountError, match="not the password"):
        given(installation, orla, Confirmation(password="wrong password"))
    assert given(installation, orla, Confirmation(password=PASSWORD)).recovery_codes


def test_secret_is_kept_sealed(installation: Installation, orla: Actor) -> None:
    set_up = begin_authenticator(installation, orla, now=NOON)
    finish_authenticator(
        installation,
        orla,
        sealed=set_up.sealed,
        code=code_of(set_up),
        confirmation=FRESH,
        now=NOON,
    )
    kept = account(installation, orla.firm_id, "orla").totp_secret
    assert kept is not None
    assert set_up.groups.replace(" ", "").encode() not in kept
    assert set_up.groups.replace(" ", "") not in set_up.sealed


def test_supervisor_cannot_go_without(installation: Installation, orla: Actor) -> None:
    given(installation, orla)
    with pytest.raises(NotAllowedError, match="Set up the new one first"):
        remove_authenticator(installation, orla, FRESH, now=NOON)
    assert account(installation, orla.firm_id, "orla").totp_secret is not None


def test_others_may_take_theirs_away_and_its_codes_go(
    installation: Installation, firm: str
) -> None:
    nell = add_account(installation, firm, "nell", Role.INSTALLER)
    codes = given(installation, nell).recovery_codes
    renewed = remove_authenticator(installation, nell, FRESH, now=NOON)
    assert renewed.recovery_codes == ()
    assert recovery_codes_left(installation, nell) == 0
    assert not prove_by_code(installation, renewed.session_mark, codes[0], now=NOON)


def test_new_recovery_codes_end_the_former(installation: Installation, orla: Actor) -> None:
    former = given(installation, orla).recovery_codes
    orla = acting(installation, orla.firm_id, "orla")
    fresh = renew_recovery_codes(installation, orla, FRESH, now=NOON)
    mark = account(installation, orla.firm_id, "orla").session_mark
    assert not set(former) & set(fresh)
    assert not prove_by_code(installation, mark, former[0], now=NOON)
    assert prove_by_code(installation, mark, fresh[0], now=NOON)
    assert recovery_codes_left(installation, orla) == 9


def test_recovery_codes_need_something_to_replace(installation: Installation, orla: Actor) -> None:
    with pytest.raises(AccountError, match="Set up"):
        renew_recovery_codes(installation, orla, FRESH, now=NOON)


def test_code_is_that_of_the_standard() -> None:
    """RFC 6238, appendix B: SHA-1, T = 59 s, 94287082, of which six figures are shown."""
    secret = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ"
    then = NOON.fromtimestamp(59, NOON.tzinfo)
    assert code_now(" ".join((secret[:4], secret[4:])), now=then) == "287082"
    with pytest.raises(AccountError):
        code_now("not base 32!", now=NOON)
