"""Questions put to passkeys (Web Authentication Level 3): each once, and answered once.

The phone or the key must have seen its owner's face, finger or code (user verification), so that a
passkey alone is two factors.
"""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from webauthn.helpers.exceptions import WebAuthnException
from webauthn.helpers.structs import PublicKeyCredentialDescriptor

from qa.services.vault import plain_digest
from qa.store import proving
from qa.store.proving import Passkey

if TYPE_CHECKING:
    from qa.services.installation import Installation

ANSWER_WITHIN = timedelta(minutes=5)
LONGEST_ANSWER = 16_384
UNREADABLE = (WebAuthnException, ValueError, KeyError, TypeError)
"""What the library raises for an answer that is none."""


def put_question(
    installation: Installation, challenge: bytes, person_id: str | None, *, now: datetime
) -> None:
    """Notes a question to this person, or at a sign-in to whoever holds a passkey."""
    with installation.store.writing() as session:
        proving.put_question(
            session,
            plain_digest(challenge.hex()),
            person_id=person_id,
            expires_at=now + ANSWER_WITHIN,
        )


def take_question(
    installation: Installation, challenge: bytes, person_id: str | None, *, now: datetime
) -> None:
    """Takes the question back.

    Raises:
        ValueError: it was not put to this person, or not lately.
    """
    with installation.store.writing() as session:
        put = proving.take_question(
            session, plain_digest(challenge.hex()), person_id=person_id, now=now
        )
    if not put:
        raise ValueError("A question that was not put.")


def rp_id(installation: Installation) -> str:
    """The name that passkeys are tied to: the host of the site's own address."""
    return urlsplit(installation.settings.origin).hostname or "localhost"


def handle(person_id: str) -> bytes:
    """What a passkey calls its person: the account's id and nothing that tells who it is."""
    return uuid.UUID(person_id).bytes


def descriptors(passkeys: tuple[Passkey, ...]) -> list[PublicKeyCredentialDescriptor]:
    """The passkeys as the browser names them."""
    return [PublicKeyCredentialDescriptor(id=passkey.credential_id) for passkey in passkeys]
