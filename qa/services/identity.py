"""Ids and salts: the chance that the core is given as an argument."""

from __future__ import annotations

import base64
import secrets
import time
import uuid

from qa.record.disclosure import SALT_BYTES


def new_id() -> str:
    """A UUID of version 7 (RFC 9562, 5.7): by time, so that rows lie in the order they came."""
    milliseconds = time.time_ns() // 1_000_000
    value = (milliseconds << 80) | secrets.randbits(80)
    value = (value & ~(0xF << 76)) | (0x7 << 76)
    value = (value & ~(0x3 << 62)) | (0x2 << 62)
    return str(uuid.UUID(int=value))


def new_salt() -> str:
    """Base64url of 16 random bytes, for one disclosure."""
    return base64.urlsafe_b64encode(secrets.token_bytes(SALT_BYTES)).decode().rstrip("=")
