"""Pages of a long list: which one is shown, and the ways to the others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import url_for

_LAST_PAGE = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Pages:
    """The ways from one page of a list to its neighbours; empty where there is none.

    Attributes:
        number: of the page that is shown, from 1.
    """

    number: int
    earlier: str
    later: str


def page_number(asked: str | None) -> int:
    """The page that was asked for; what is no page is the first."""
    number = int(asked) if asked and asked.isascii() and asked.isdigit() else 1
    return number if 1 <= number <= _LAST_PAGE else 1


def pages(endpoint: str, number: int, *, has_more: bool, **values: Any) -> Pages:
    """The neighbours of a page.

    Args:
        endpoint: of the list.
        number: the page that is shown.
        has_more: whether a page follows.
        values: what else stands in the list's address; None is left out.
    """
    return Pages(
        number=number,
        earlier=url_for(endpoint, page=number - 1, **values) if number > 1 else "",
        later=url_for(endpoint, page=number + 1, **values) if has_more else "",
    )
