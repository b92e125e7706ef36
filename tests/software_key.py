"""A security key in software (Web Authentication Level 3, 6), for tests without a browser."""

from __future__ import annotations

import base64
import hashlib
import json
import secrets
from dataclasses import dataclass, field

import cbor2
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256

PRESENT, VERIFIED, WITH_KEY = 0x01, 0x04, 0x40


@dataclass(slots=True, kw_only=True)
class SoftwareKey:
    """One credential of one person; what it says may be falsified piece by piece."""

    origin: str
    rp_id: str = "localhost"
    flags: int = PRESENT | VERIFIED
    count: int = 0
    credential_id: bytes = field(default_factory=lambda: secrets.token_bytes(16))
    user_handle: bytes = b""
    key: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )

    def make(self, options: str) -> str:
        """The answer to the question for a new passkey."""
        asked = json.loads(options)
        self.user_handle = _bytes(asked["user"]["id"])
        attested = (
            bytes(16)
            + len(self.credential_id).to_bytes(2, "big")
            + self.credential_id
            + self._public_key()
        )
        data = self._data(WITH_KEY) + attested
        response = {
            "clientDataJSON": _text(self._client("webauthn.create", asked)),
            "attestationObject": _text(
                cbor2.dumps({"fmt": "none", "attStmt": {}, "authData": data})
            ),
            "transports": ["internal"],
        }
        return self._credential(response)

    def answer(self, options: str) -> str:
        """The answer to the question at a sign-in."""
        self.count += 1
        client = self._client("webauthn.get", json.loads(options))
        data = self._data()
        signed = self.key.sign(data + hashlib.sha256(client).digest(), ec.ECDSA(SHA256()))
        response = {
            "clientDataJSON": _text(client),
            "authenticatorData": _text(data),
            "signature": _text(signed),
            "userHandle": _text(self.user_handle),
        }
        return self._credential(response)

    def _credential(self, response: dict[str, object]) -> str:
        written = _text(self.credential_id)
        return json.dumps(
            {"id": written, "rawId": written, "type": "public-key", "response": response}
        )

    def _client(self, kind: str, asked: dict[str, str]) -> bytes:
        return json.dumps(
            {"type": kind, "challenge": asked["challenge"], "origin": self.origin}
        ).encode()

    def _data(self, more_flags: int = 0) -> bytes:
        return (
            hashlib.sha256(self.rp_id.encode()).digest()
            + bytes([self.flags | more_flags])
            + self.count.to_bytes(4, "big")
        )

    def _public_key(self) -> bytes:
        """The public key as COSE writes it (RFC 9053): EC2, ES256, P-256."""
        point = self.key.public_key().public_numbers()
        return cbor2.dumps(
            {1: 2, 3: -7, -1: 1, -2: point.x.to_bytes(32, "big"), -3: point.y.to_bytes(32, "big")}
        )


def _text(raw: bytes) -> str:
    return base64.urlsafe_b64encode(raw).decode().rstrip("=")


def _bytes(text: str) -> bytes:
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
