"""Secrets at rest: opened by the same key, purpose and person only."""

from __future__ import annotations

import hashlib
import hmac

import pytest

from qa.errors import StoreError
from qa.services.vault import derived_key, keyed_digest, seal, unseal

KEY, OTHER = b"k" * 32, b"o" * 32


def test_sealed_secret_opens_again() -> None:
    sealed = seal(KEY, b"secret", purpose="a", whose="nell")
    assert unseal(KEY, sealed, purpose="a", whose="nell") == b"secret"
    assert b"secret" not in sealed


def test_same_secret_is_sealed_differently_each_time() -> None:
    assert seal(KEY, b"s", purpose="a", whose="n") != seal(KEY, b"s", purpose="a", whose="n")


@pytest.mark.parametrize(
    ("key", "purpose", "whose"), [(OTHER, "a", "nell"), (KEY, "b", "nell"), (KEY, "a", "tam")]
)
def test_other_key_purpose_or_person_opens_nothing(key: bytes, purpose: str, whose: str) -> None:
    sealed = seal(KEY, b"secret", purpose="a", whose="nell")
    with pytest.raises(StoreError, match="cannot be opened"):
        unseal(key, sealed, purpose=purpose, whose=whose)


@pytest.mark.parametrize("at", [0, 12, -1])
def test_changed_or_short_seal_opens_nothing(at: int) -> None:
    sealed = bytearray(seal(KEY, b"secret", purpose="a", whose="nell"))
    sealed[at] ^= 1
    for broken in (bytes(sealed), bytes(sealed[:5]), b""):
        with pytest.raises(StoreError):
            unseal(KEY, broken, purpose="a", whose="nell")


def test_key_derivation_is_that_of_the_standard() -> None:
    """RFC 5869 with an empty salt, reproduced by hand with HMAC-SHA-256."""
    extracted = hmac.digest(bytes(32), KEY, hashlib.sha256)
    assert derived_key(KEY, "a") == hmac.digest(extracted, b"a\x01", hashlib.sha256)


def test_digests_of_two_purposes_differ() -> None:
    assert keyed_digest(KEY, "nell", purpose="a") != keyed_digest(KEY, "nell", purpose="b")
