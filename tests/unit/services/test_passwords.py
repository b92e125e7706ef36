"""Passwords: length counts, what is tried first is refused, hashes follow today's parameters."""

from __future__ import annotations

import time

import pytest

from qa.services.passwords import (
    LONGEST,
    NOBODYS_HASH,
    hash_password,
    is_out_of_date,
    is_password,
    password_fault,
)
from tests.accounts import PASSWORD, password_hash

EMAIL, NAME = "nell@firm.example", "Nell Sample"


def fault(password: str) -> str | None:
    return password_fault(password, email=EMAIL, name=NAME)


@pytest.mark.parametrize(
    "password",
    [
        "wet deck nail gun",
        "unusual lamp",
        "kfhd-mxwq-tbnr",
        "correct horse battery",
        "welcome to the wet deck of nobody",
        "йцукен сегодня дождь",
    ],
)
def test_unrelated_words_are_taken(password: str) -> None:
    assert fault(password) is None


@pytest.mark.parametrize(
    "password",
    [
        "password1234",
        "Passw0rd!2024",
        "P@ssw0rdP@ssw0rd",
        "qwertyuiop12",
        "1qaz2wsx3edc",
        "123456789012",
        "987654321000",
        "111222333444",
        "074912837465",
        "aaaaaaaaaaaa",
        "abcabcabcabc",
        "summer2024summer",
        "the roof is my roof",
    ],
)
def test_what_is_tried_first_is_refused(password: str) -> None:
    assert "tried first" in (fault(password) or "")


@pytest.mark.parametrize(
    "password", ["nell@firm.example", "NELL@FIRM.EXAMPLE", "Nell Sample 1984", "nellnell2024!"]
)
def test_what_everyone_knows_is_refused(password: str) -> None:
    assert fault(password) is not None


def test_length_is_bounded_on_both_sides() -> None:
    good = "wet deck nail gun, and a cold wind from the north. " * 4
    assert "has 11 characters" in (fault(good[:11]) or "")
    assert fault(good[:12]) is None
    assert fault(good[:LONGEST]) is None
    assert "200 are the most" in (fault(good[: LONGEST + 1]) or "")


def test_password_fits_its_own_hash_only() -> None:
    assert is_password(password_hash(), PASSWORD)
    assert not is_password(password_hash(), PASSWORD + " ")
    assert not is_password("no hash at all", PASSWORD)
    assert not is_password("", PASSWORD)


def test_same_keys_on_another_phone_fit() -> None:
    """One phone composes é, another sends e and its accent (NFKC)."""
    kept = hash_password("café on the wet deck")
    assert is_password(kept, "cafe\u0301 on the wet deck")


def test_nobodys_hash_has_todays_parameters() -> None:
    assert not is_out_of_date(NOBODYS_HASH)
    weaker = NOBODYS_HASH.replace("t=3", "t=2")
    assert is_out_of_date(weaker)


def test_unknown_account_takes_as_long() -> None:
    """Three of each, interleaved; the median of a busy machine may differ by half."""
    password_hash()
    known, unknown = [], []
    for _ in range(5):
        for times, kept in ((known, password_hash()), (unknown, None)):
            began = time.process_time()
            assert not is_password(kept, "something else")
            times.append(time.process_time() - began)
    ratio = sorted(unknown)[2] / sorted(known)[2]
    assert 0.5 < ratio < 2
