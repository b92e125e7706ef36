"""Keys made from names: short, plain, and never given twice."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from qa.record.fields import key as read_key
from qa.services.naming import key_for


@pytest.mark.parametrize(
    ("name", "taken", "key"),
    [
        ("Nell Sample", set(), "nell"),
        ("Nell Sample", {"nell"}, "nell-sample"),
        ("Nell Sample", {"nell", "nell-sample"}, "nell-sample-2"),
        ("Zoë O’Nowhere", {"zoe"}, "zoe-onowhere"),
        ("Łucja", set(), "ucja"),
        ("雨漏り", set(), "person"),
        ("雨漏り", {"person"}, "person-2"),
    ],
)
def test_key_is_the_plainest_that_is_free(name: str, taken: set[str], key: str) -> None:
    assert key_for(name, taken) == key


@given(st.lists(st.text(max_size=120), max_size=12))
def test_no_key_is_given_twice(names: list[str]) -> None:
    taken: set[str] = set()
    for name in names:
        key = key_for(name, taken)
        assert key not in taken
        assert read_key(key) == key
        taken.add(key)
