"""Passwords: which are taken, how they are kept, and how one is compared.

Kept by Argon2id with the second parameters that RFC 9106 (4) recommends, which the library takes by
default. What counts is length (NIST SP 800-63B 5.1.1.2); besides, a password is refused that
nothing is left of when common words and runs of keys are taken away.
"""

from __future__ import annotations

import re
import threading
import unicodedata

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

SHORTEST, LONGEST = 12, 200

NOBODYS_HASH = (
    "$argon2id$v=19$m=65536,t=3,p=4$LAVPG4tdwYOqIPDo8QcaEQ"
    "$+mbXZM3Lu95cNUutNUYP23iVxx+nYtUuMn98jlAtTJ4"
)
"""Of a random word that was thrown away; compared with where there is no account, so that the time
of an answer does not tell. A test holds its parameters to the current ones."""

_HASHER = PasswordHasher()
_AT_ONCE = threading.BoundedSemaphore(4)
"""Each comparison takes 64 MiB for a moment; more at once would let strangers fill the memory."""

_COMMON = (
    "password", "passwort", "passcode", "passphrase", "letmein", "welcome", "changeme", "whatever",
    "iloveyou", "sunshine", "princess", "football", "baseball", "superman", "computer", "internet",
    "master", "monkey", "dragon", "shadow", "secret", "login", "admin", "hello", "summer", "winter",
    "spring", "autumn", "january", "february", "march", "april", "june", "july", "august",
    "september", "october", "november", "december", "monday", "friday", "laidtrue", "roofing",
    "fibreglass", "fiberglass", "roof", "pass", "test", "user", "word", "love", "the", "my", "is",
)  # fmt: skip
_RUNS = (
    "abcdefghijklmnopqrstuvwxyz", "0123456789012345678901234567890",
    "qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop", "azertyuiop",
    "1q2w3e4r5t6y7u8i9o0p", "1qaz2wsx3edc4rfv5tgb6yhn7ujm", "qazwsxedcrfvtgbyhnujm",
)  # fmt: skip
_SHORTEST_RUN = 3
_LEAST_LEFT = 5
_LOOKALIKES = str.maketrans("013457@$!", "oleastasi")


def hash_password(password: str) -> str:
    """What is kept of a password: parameters, salt and digest in one text."""
    with _AT_ONCE:
        return _HASHER.hash(_stable(password))


def is_password(password_hash: str | None, password: str) -> bool:
    """Whether it is the password of that hash; as slow where there is no hash.

    Args:
        password_hash: None where there is no such account.
        password: as it was typed; none longer than `LONGEST` is any account's.
    """
    tried = _stable(password[: LONGEST + 1])
    with _AT_ONCE:
        try:
            _HASHER.verify(password_hash or NOBODYS_HASH, tried)
        except (VerificationError, InvalidHashError):
            return False
    return bool(password_hash)


def is_out_of_date(password_hash: str) -> bool:
    """Whether the hash was made with other parameters than today's."""
    return _HASHER.check_needs_rehash(password_hash)


def password_fault(password: str, *, email: str, name: str) -> str | None:
    """Why a new password is not taken, and how to find a better one; None where it is.

    Args:
        password: as it was typed.
        email: of the account; it and its first part are known to everyone.
        name: of the person; the same holds.
    """
    if len(password) < SHORTEST:
        return (
            f"The password has {len(password)} characters; give it {SHORTEST} or more. "
            "Three or four words that have nothing to do with each other make a good one."
        )
    if len(password) > LONGEST:
        return f"The password has {len(password)} characters; {LONGEST} are the most."
    if _letters(password) in _known_of(email, name):
        return "The password is the e-mail or the name of the account; choose one of its own."
    if _is_common(password):
        return (
            "The password is one of those that are tried first: a common word, figures alone, a "
            "run of keys, or the same over again. Three or four words that have nothing to do with "
            "each other make a good one."
        )
    return None


def _stable(password: str) -> str:
    """The same text for the same keys on every phone (NIST SP 800-63B 5.1.1.2: NFKC)."""
    return unicodedata.normalize("NFKC", password)


def _letters(text: str) -> str:
    """Letters alone, as they are meant: signs and figures at the end add nothing."""
    return "".join(sign for sign in _stable(text).casefold() if sign.isalpha())


def _known_of(email: str, name: str) -> frozenset[str]:
    known = {_letters(email), _letters(email.partition("@")[0]), _letters(name)}
    return frozenset(known | {word * 2 for word in known} - {""})


def _is_common(password: str) -> bool:
    plain = _stable(password).casefold()
    meant = re.sub(r"^[\W\d_]+|[\W\d_]+$", "", plain).translate(_LOOKALIKES)
    return any(_left(text) < _LEAST_LEFT for text in (plain, meant))


def _left(text: str) -> int:
    """How many different signs are left when all that is guessed first is taken away."""
    for word in _COMMON:
        text = text.replace(word, " ")
    for run in _RUNS:
        text = _without_runs(_without_runs(text, run), run[::-1])
    text = re.sub(r"(.{1,6}?)\1+", r"\1", text)
    return len(set(re.sub(r"[\W_]", "", text)))


def _without_runs(text: str, run: str) -> str:
    """The text without its pieces of a run of keys."""
    kept: list[str] = []
    at = 0
    while at < len(text):
        length = _run_at(text, at, run)
        if length < _SHORTEST_RUN:
            kept.append(text[at])
        at += max(1, length) if length >= _SHORTEST_RUN else 1
    return "".join(kept)


def _run_at(text: str, at: int, run: str) -> int:
    length = 0
    while at + length < len(text) and text[at : at + length + 1] in run:
        length += 1
    return length
