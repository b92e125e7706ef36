"""Counted tries: so many in a span, then none until it is over, whichever process counts."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from sqlalchemy import select

from qa.errors import TooOftenError
from qa.services.installation import Installation, open_installation
from qa.services.throttling import (
    Counted,
    Limit,
    forget_tries,
    from_address,
    take_try,
)
from qa.store.tables import TryRow
from tests.accounts import NOON

THREE = Limit(what="test", tries=3, span=timedelta(minutes=10))
NELL = Counted(limit=THREE, subject="nell@firm.example")


def spend(installation: Installation, counted: Counted, times: int) -> None:
    for _ in range(times):
        take_try(installation, (counted,), now=NOON)


def test_last_try_is_allowed_and_the_next_refused(installation: Installation) -> None:
    spend(installation, NELL, 3)
    with pytest.raises(TooOftenError, match="Try again in 10 minutes") as refused:
        take_try(installation, (NELL,), now=NOON)
    assert refused.value.again_in_s == 600


def test_wait_is_told_to_the_second_and_then_over(installation: Installation) -> None:
    spend(installation, NELL, 3)
    nearly = NOON + THREE.span - timedelta(milliseconds=1)
    with pytest.raises(TooOftenError, match="in 1 minute\\.") as refused:
        take_try(installation, (NELL,), now=nearly)
    assert refused.value.again_in_s == 1
    take_try(installation, (NELL,), now=NOON + THREE.span)


def test_refused_try_does_not_lengthen_the_wait(installation: Installation) -> None:
    spend(installation, NELL, 3)
    for minute in range(1, 9):
        with pytest.raises(TooOftenError):
            take_try(installation, (NELL,), now=NOON + timedelta(minutes=minute))
    take_try(installation, (NELL,), now=NOON + THREE.span)


def test_refused_try_counts_nowhere(installation: Installation) -> None:
    spend(installation, NELL, 3)
    other = Counted(limit=THREE, subject="tam@firm.example")
    for _ in range(5):
        with pytest.raises(TooOftenError):
            take_try(installation, (other, NELL), now=NOON)
    spend(installation, other, 3)


def test_success_forgets_one_count_and_gives_one_try_back(installation: Installation) -> None:
    here = from_address(THREE, "192.0.2.7")
    for _ in range(2):
        take_try(installation, (NELL, here), now=NOON)
    forget_tries(installation, NELL, also_give_back=(here,), now=NOON)
    spend(installation, NELL, 3)
    spend(installation, here, 2)
    with pytest.raises(TooOftenError):
        take_try(installation, (here,), now=NOON)


def test_counts_tell_nobody_who_tried(installation: Installation) -> None:
    spend(installation, NELL, 1)
    with installation.store.reading() as session:
        (row,) = session.scalars(select(TryRow))
        assert "nell" not in row.subject
        assert len(row.subject) == 64


def test_counts_of_long_ago_are_forgotten(installation: Installation) -> None:
    spend(installation, NELL, 1)
    tam = Counted(limit=THREE, subject="tam")
    forget_tries(installation, tam, now=NOON + timedelta(days=2))
    with installation.store.reading() as session:
        assert session.scalars(select(TryRow)).all() == []


def test_one_network_of_the_new_kind_counts_as_one() -> None:
    """RFC 4291: 64 bits name the network, the rest is the household's own."""
    first = from_address(THREE, "2001:db8:1:2::1")
    assert first == from_address(THREE, "2001:db8:1:2:ffff::9")
    assert first != from_address(THREE, "2001:db8:1:3::1")
    assert from_address(THREE, "unix:").subject == "unix:"


def test_many_at_once_never_exceed_the_limit(installation: Installation) -> None:
    """Two installations over one database stand for two processes."""
    second = open_installation(installation.settings)

    def tried(number: int) -> bool:
        try:
            take_try((installation, second)[number % 2], (NELL,), now=NOON)
        except TooOftenError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        allowed = sum(pool.map(tried, range(24)))
    second.store.engine.dispose()
    assert allowed == 3
