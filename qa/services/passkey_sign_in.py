"""Signing in by a passkey: without a password typed, or as the second proof after one."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from webauthn import (
    generate_authentication_options,
    options_to_json,
    verify_authentication_response,
)
from webauthn.helpers import parse_authentication_credential_json, parse_client_data_json
from webauthn.helpers.structs import AuthenticationCredential, UserVerificationRequirement

from qa.errors import NotSignedInError
from qa.services.passkey_questions import (
    LONGEST_ANSWER,
    UNREADABLE,
    descriptors,
    handle,
    put_question,
    rp_id,
    take_question,
)
from qa.services.signing_in import Proof
from qa.services.throttling import QUESTIONS_TO_ADDRESS, from_address, take_try
from qa.store import accounts, proving
from qa.store.accounts import Account
from qa.store.proving import Passkey

if TYPE_CHECKING:
    from qa.services.installation import Installation


def ask_for_passkey(
    installation: Installation, *, session_mark: str | None, address: str, now: datetime
) -> str:
    """What the browser needs to sign somebody in by a passkey, as JSON.

    Args:
        installation: where.
        session_mark: of the first proof, where a password was read before; None where nobody is
            known yet and the phone offers the passkeys that it holds for this site.
        address: the network address that asks.
        now: the moment.

    Raises:
        TooOftenError: too many questions to this address.
    """
    take_try(installation, (from_address(QUESTIONS_TO_ADDRESS, address),), now=now)
    account = _asked(installation, session_mark)
    with installation.store.reading() as session:
        held = proving.passkeys_of(session, account.id) if account else ()
    options = generate_authentication_options(
        rp_id=rp_id(installation),
        allow_credentials=descriptors(held) or None,
        user_verification=UserVerificationRequirement.REQUIRED,
    )
    put_question(installation, options.challenge, account.id if account else None, now=now)
    return options_to_json(options)


def prove_by_passkey(
    installation: Installation, answer: str, *, session_mark: str | None, now: datetime
) -> Proof | None:
    """The whole proof by a passkey's answer; None where the answer proves nobody.

    Args:
        installation: where.
        answer: of the browser, as JSON.
        session_mark: as for the question.
        now: the moment.
    """
    asked = _asked(installation, session_mark)
    try:
        credential = parse_authentication_credential_json(answer[:LONGEST_ANSWER])
        challenge = parse_client_data_json(credential.response.client_data_json).challenge
        take_question(installation, challenge, asked.id if asked else None, now=now)
        passkey, account = _owner(installation, credential)
        verified = verify_authentication_response(
            credential=credential,
            expected_challenge=challenge,
            expected_rp_id=rp_id(installation),
            expected_origin=installation.settings.origin,
            credential_public_key=passkey.public_key,
            credential_current_sign_count=passkey.sign_count,
            require_user_verification=True,
        )
    except UNREADABLE:
        return None
    if asked is not None and asked.id != account.id:
        return None
    with installation.store.writing() as session:
        used = proving.use_passkey(session, passkey, sign_count=verified.new_sign_count, now=now)
    if not used:
        return None
    return Proof(
        session_mark=account.session_mark,
        asks_for_code=False,
        asks_for_passkey=False,
        appearance=account.appearance,
    )


def _owner(
    installation: Installation, credential: AuthenticationCredential
) -> tuple[Passkey, Account]:
    """The passkey that answers, and whose it is.

    Raises:
        ValueError: nobody's who may sign in.
    """
    with installation.store.reading() as session:
        passkey = proving.passkey_by_credential(session, credential.raw_id)
        account = accounts.account_by_id(session, passkey.person_id) if passkey else None
    if passkey is None or account is None or account.ended_at is not None:
        raise ValueError("No passkey of anybody here.")
    if credential.response.user_handle not in (None, b"", handle(account.id)):
        raise ValueError("A passkey of somebody else.")
    return passkey, account


def _asked(installation: Installation, session_mark: str | None) -> Account | None:
    if session_mark is None:
        return None
    with installation.store.reading() as session:
        account = accounts.account_by_mark(session, session_mark)
    if account is None or account.ended_at is not None:
        raise NotSignedInError("Too much has changed since your password was read. Sign in again.")
    return account
