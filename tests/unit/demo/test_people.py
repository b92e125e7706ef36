"""The invented firm's people: everybody can sign in, with ways in that are new each time."""

from __future__ import annotations

from qa.demo.opening import CREW
from qa.demo.people import DemoLogin, demo_firm_id, make_people
from qa.services.access import Role
from qa.services.authenticators import code_now
from qa.services.installation import Installation
from qa.services.signing_in import actor_of, prove_by_code, prove_by_password
from tests.accounts import HERE, NOON


def test_everybody_signs_in_with_what_was_answered(installation: Installation) -> None:
    logins = make_people(installation, now=NOON)
    for login in logins:
        assert _signs_in(installation, login)
    assert {role for login in logins for role in login.roles} == set(Role)
    assert [one.person for one in CREW] == [login.key for login in logins[: len(CREW)]]


def test_second_time_gives_new_ways_in(installation: Installation) -> None:
    former = make_people(installation, now=NOON)
    fresh = make_people(installation, now=NOON)
    assert [one.key for one in former] == [one.key for one in fresh]
    assert not {one.password for one in former} & {one.password for one in fresh}
    assert _signs_in(installation, fresh[0])
    assert not _signs_in(installation, former[0])
    with installation.store.reading() as session:
        assert demo_firm_id(session)


def test_ways_in_do_not_show_in_what_is_printed(installation: Installation) -> None:
    for login in make_people(installation, now=NOON):
        assert login.password not in repr(login)
        assert login.secret is None or login.secret not in repr(login)


def _signs_in(installation: Installation, login: DemoLogin) -> bool:
    proof = prove_by_password(installation, login.email, login.password, address=HERE, now=NOON)
    if proof is None:
        return False
    if login.secret is not None:
        code = code_now(login.secret, now=NOON)
        assert not proof.is_enough
        assert prove_by_code(installation, proof.session_mark, code, now=NOON)
    actor = actor_of(installation, proof.session_mark, now=NOON)
    return actor is not None and actor.roles == set(login.roles)
