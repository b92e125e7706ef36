"""Canonical JSON (RFC 8785) and the SHA-256 over it.

The `rfc8785` library defines the form. Most entries hold nothing on which it and the standard
library's C encoder could differ; those are encoded by the latter, which is some ten times faster,
and a property test holds the two to equal bytes.
"""

from __future__ import annotations

import hashlib
import json

import rfc8785

from qa.record.fields import Json

_LARGEST_EXACT_INT = 2**53 - 1
_SMALLEST_PLAIN_FLOAT = 1e-4
"""From here to `_LARGEST_EXACT_INT`, `repr` writes a float as ECMAScript does: no exponent."""

_encode = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
).encode


class _NeedsLibraryError(Exception):
    """The value holds something on which the fast encoder would not be canonical."""


def canonical_json(value: Json) -> bytes:
    """The canonical form of a JSON value.

    Args:
        value: what `json.loads` answers: dict, list, str, int, float, bool, None.

    Raises:
        ValueError: NaN, an infinity, an integer beyond ±(2^53 − 1), or a lone surrogate.

    Source:
        RFC 8785, JSON Canonicalization Scheme.
    """
    if _is_plain(value):
        return _encode(value).encode("utf-8")
    try:
        return _encode(_plain(value)).encode("utf-8")
    except _NeedsLibraryError:
        return rfc8785.dumps(value)


def digest(value: Json) -> str:
    """SHA-256 over the canonical form, as 64 hexadecimal digits."""
    return hashlib.sha256(canonical_json(value)).hexdigest()


def _is_plain(value: Json) -> bool:
    """Whether both encoders agree on a value as it stands, which is so for most entries."""
    kind = type(value)
    if kind is dict:
        return all(map(str.isascii, value)) and all(
            type(item) is str or _is_plain(item) for item in value.values()
        )
    if kind is list:
        return all(map(_is_plain, value))
    if kind is float and (value.is_integer() or abs(value) < _SMALLEST_PLAIN_FLOAT):
        return False
    if kind is float or kind is int:
        return bool(abs(value) <= _LARGEST_EXACT_INT)
    return kind is str or kind is bool or value is None


def _plain(value: Json) -> Json:
    """The same value with whole floats as integers, for which both encoders agree."""
    kind = type(value)
    if kind is str or value is None or kind is bool:
        return value
    if kind is dict:
        if not all(map(str.isascii, value)):
            raise _NeedsLibraryError  # UTF-16 order of keys may differ from code-point order
        return {name: _plain(item) for name, item in value.items()}
    if kind is float:
        if value.is_integer() and abs(value) <= _LARGEST_EXACT_INT:
            return int(value)
        if _SMALLEST_PLAIN_FLOAT <= abs(value) <= _LARGEST_EXACT_INT:
            return value
        raise _NeedsLibraryError
    if kind is int:
        if abs(value) <= _LARGEST_EXACT_INT:
            return value
        raise _NeedsLibraryError
    if kind is list or kind is tuple:
        return [_plain(item) for item in value]
    raise _NeedsLibraryError
