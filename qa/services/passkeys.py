"""A person's passkeys: made on their phone, kept here, and taken away."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from webauthn import (
    generate_registration_options,
    options_to_json,
    verify_registration_response,
)
from webauthn.helpers import parse_client_data_json, parse_registration_credential_json
from webauthn.helpers.structs import (
    AuthenticatorSelectionCriteria,
    ResidentKeyRequirement,
    UserVerificationRequirement,
)

from qa.errors import AccountError, NotFoundError, Problem
from qa.services.access import Actor
from qa.services.confirming import Confirmation, account_of, confirm
from qa.services.passkey_questions import (
    LONGEST_ANSWER,
    UNREADABLE,
    descriptors,
    handle,
    put_question,
    rp_id,
    take_question,
)
from qa.services.second_factor import Renewed, refuse_to_go_without, renew
from qa.store import proving
from qa.store.proving import Passkey

if TYPE_CHECKING:
    from qa.services.installation import Installation

LONGEST_NAME = 60
_NAME = "Laidtrue"


def ask_for_new_passkey(
    installation: Installation, actor: Actor, confirmation: Confirmation, *, now: datetime
) -> str:
    """What the browser needs to make a passkey, as JSON.

    Raises:
        AccountError: the password is wrong.
        TooOftenError: too many tries.
    """
    account = confirm(installation, actor, confirmation, now=now)
    with installation.store.reading() as session:
        held = proving.passkeys_of(session, account.id)
    options = generate_registration_options(
        rp_id=rp_id(installation),
        rp_name=_NAME,
        user_id=handle(account.id),
        user_name=account.email or account.key,
        user_display_name=account.name,
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=descriptors(held),
    )
    put_question(installation, options.challenge, account.id, now=now)
    return options_to_json(options)


def add_passkey(
    installation: Installation, actor: Actor, answer: str, *, name: str, now: datetime
) -> Renewed:
    """Keeps a passkey that the browser has made.

    Args:
        installation: where.
        actor: whose.
        answer: of the browser, as JSON.
        name: by which the person knows it, such as "my phone"; up to 60 characters.
        now: the moment.

    Raises:
        AccountError: the answer does not belong to a question put to this person, or is none.
    """
    account = account_of(installation, actor)
    try:
        credential = parse_registration_credential_json(answer[:LONGEST_ANSWER])
        challenge = parse_client_data_json(credential.response.client_data_json).challenge
        take_question(installation, challenge, account.id, now=now)
        verified = verify_registration_response(
            credential=credential,
            expected_challenge=challenge,
            expected_rp_id=rp_id(installation),
            expected_origin=installation.settings.origin,
            require_user_verification=True,
        )
    except UNREADABLE as error:
        raise _not_made() from error
    passkey = Passkey(
        id=installation.new_id(),
        person_id=account.id,
        credential_id=verified.credential_id,
        public_key=verified.credential_public_key,
        sign_count=verified.sign_count,
        name=" ".join(name.split())[:LONGEST_NAME] or "Passkey",
        created_at=now,
        used_at=None,
    )
    with installation.store.writing() as session:
        if proving.passkey_by_credential(session, passkey.credential_id) is not None:
            raise _not_made()
        proving.add_passkey(session, passkey)
        return renew(installation, session, account.id)


def passkeys_of(installation: Installation, actor: Actor) -> tuple[Passkey, ...]:
    """The actor's passkeys, the oldest first."""
    with installation.store.reading() as session:
        return proving.passkeys_of(session, actor.person_id)


def passkey(installation: Installation, actor: Actor, passkey_id: str) -> Passkey:
    """One of the actor's passkeys.

    Raises:
        NotFoundError: it is none of theirs.
    """
    for held in passkeys_of(installation, actor):
        if held.id == passkey_id:
            return held
    raise NotFoundError("This passkey is not there. Your account lists those that are.")


def remove_passkey(
    installation: Installation,
    actor: Actor,
    passkey_id: str,
    confirmation: Confirmation,
    *,
    now: datetime,
) -> Renewed:
    """Takes one of the actor's passkeys away.

    Raises:
        AccountError: the password is wrong.
        NotFoundError: it is none of theirs.
        NotAllowedError: a role asks for a second factor and this is the only one.
    """
    account = confirm(installation, actor, confirmation, now=now)
    with installation.store.writing() as session:
        if not proving.remove_passkey(session, account.id, passkey_id):
            raise NotFoundError("This passkey is not there. Your account lists those that are.")
        refuse_to_go_without(session, account.id)
        return renew(installation, session, account.id)


def _not_made() -> AccountError:
    return AccountError(
        Problem(
            place="account",
            field="account.name",
            sentence="The passkey could not be kept: the phone’s answer does not belong to this "
            "page, or came too late. Begin again.",
        )
    )
