"""Secrets at rest: sealed, or kept only as a digest, by keys made from the installation's own.

Each purpose has a key of its own, so that what was sealed for one opens for no other; what was
sealed for one person opens for no other person either. AES-256-GCM (NIST SP 800-38D) with random
nonces, HMAC-SHA-256 (RFC 2104), keys by HKDF (RFC 5869).
"""

from __future__ import annotations

import hashlib
import hmac
import secrets

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from qa.errors import StoreError

_NONCE_BYTES = 12


def derived_key(seal_key: bytes, purpose: str) -> bytes:
    """A key of 32 bytes for one purpose."""
    return HKDF(algorithm=SHA256(), length=32, salt=None, info=purpose.encode()).derive(seal_key)


def seal(seal_key: bytes, clear: bytes, *, purpose: str, whose: str) -> bytes:
    """Seals `clear`, so that only the same key, purpose and person open it again."""
    nonce = secrets.token_bytes(_NONCE_BYTES)
    cipher = AESGCM(derived_key(seal_key, purpose))
    return nonce + cipher.encrypt(nonce, clear, whose.encode())


def unseal(seal_key: bytes, sealed: bytes, *, purpose: str, whose: str) -> bytes:
    """What was sealed.

    Raises:
        StoreError: sealed by another key, for another purpose or person, or changed since.
    """
    nonce, rest = sealed[:_NONCE_BYTES], sealed[_NONCE_BYTES:]
    try:
        return AESGCM(derived_key(seal_key, purpose)).decrypt(nonce, rest, whose.encode())
    except (InvalidTag, ValueError) as error:
        raise StoreError(
            "A sealed secret cannot be opened: it was changed, or the key in the instance folder "
            "is another one. Restore the key that belongs to this database."
        ) from error


def keyed_digest(seal_key: bytes, text: str, *, purpose: str) -> str:
    """A digest in hex that nobody can try guesses against without the key."""
    return hmac.new(derived_key(seal_key, purpose), text.encode(), hashlib.sha256).hexdigest()


def plain_digest(token: str) -> str:
    """SHA-256 in hex, for tokens that are too long to be guessed."""
    return hashlib.sha256(token.encode()).hexdigest()


def new_token() -> str:
    """A random word of 256 bits that may stand in an address."""
    return secrets.token_urlsafe(32)
