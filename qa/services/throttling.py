"""How often may be tried what a stranger could guess: counted first, and only then looked at.

A count is shared by all processes. It is the same for an account that exists and for one that does
not, so that being refused tells nothing.
"""

from __future__ import annotations

import ipaddress
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.errors import TooOftenError
from qa.services.vault import keyed_digest
from qa.store import tries

if TYPE_CHECKING:
    from qa.services.installation import Installation

_FORGOTTEN_AFTER = timedelta(days=1)
_IPV6_NETWORK_BITS = 64
"""What one household or phone is given; each address in it would else be a stranger anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """How often something may be tried in a span.

    Attributes:
        what: keeps the counts of different things apart.
        tries: how often; NIST SP 800-63B 5.2.2 allows 100 failures in a row at most.
        span: in which.
    """

    what: str
    tries: int
    span: timedelta


PASSWORD_OF_ACCOUNT = Limit(what="password", tries=10, span=timedelta(minutes=15))
SIGN_IN_FROM_ADDRESS = Limit(what="address", tries=60, span=timedelta(minutes=15))
CODE_OF_ACCOUNT = Limit(what="code", tries=6, span=timedelta(minutes=15))
GUESSED_LINKS_FROM_ADDRESS = Limit(what="link", tries=10, span=timedelta(minutes=15))
MESSAGES_BY_LINK = Limit(what="message", tries=20, span=timedelta(days=1))
QUESTIONS_TO_ADDRESS = Limit(what="question", tries=120, span=timedelta(minutes=15))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """Something that is counted: a limit, and whose tries they are."""

    limit: Limit
    subject: str


def from_address(limit: Limit, address: str) -> Counted:
    """Tries from a network address; neighbours in one IPv6 network count as one."""
    try:
        parsed = ipaddress.ip_address(address)
    except ValueError:
        return Counted(limit=limit, subject=address)
    if parsed.version == 4:
        return Counted(limit=limit, subject=str(parsed))
    network = ipaddress.ip_network((parsed, _IPV6_NETWORK_BITS), strict=False)
    return Counted(limit=limit, subject=str(network))


def take_try(installation: Installation, counted: Sequence[Counted], *, now: datetime) -> None:
    """Counts one try under each of `counted`, or refuses it without counting it.

    Raises:
        TooOftenError: a limit is reached; says after how many seconds it may be tried again.
    """
    with installation.store.writing() as session:
        for one in counted:
            found = tries.count_try(
                session, _subject(installation, one), span=one.limit.span, now=now
            )
            if found.count > one.limit.tries:
                raise _too_often(found.began_at + one.limit.span - now)


def require_try_left(installation: Installation, counted: Counted, *, now: datetime) -> None:
    """Refuses what was tried too often before, without counting this try; it writes nothing.

    Raises:
        TooOftenError: the limit is reached.
    """
    with installation.store.reading() as session:
        found = tries.standing_count(
            session, _subject(installation, counted), span=counted.limit.span, now=now
        )
    if found.count >= counted.limit.tries:
        raise _too_often(found.began_at + counted.limit.span - now)


def forget_tries(
    installation: Installation,
    counted: Counted,
    *,
    also_give_back: Sequence[Counted] = (),
    now: datetime,
) -> None:
    """Forgets the count of what has succeeded.

    Args:
        installation: where.
        counted: its count is forgotten whole.
        also_give_back: only this one try is taken off these counts.
        now: counts of long ago are forgotten too.
    """
    with installation.store.writing() as session:
        tries.forget(session, _subject(installation, counted))
        for one in also_give_back:
            tries.give_back(session, _subject(installation, one))
        tries.forget_before(session, now - _FORGOTTEN_AFTER)


def _subject(installation: Installation, counted: Counted) -> str:
    text = f"{counted.limit.what} {counted.subject}"
    return keyed_digest(installation.seal_key, text, purpose="tries")


def _too_often(wait: timedelta) -> TooOftenError:
    seconds = max(1, math.ceil(wait.total_seconds()))
    minutes = math.ceil(seconds / 60)
    return TooOftenError(
        f"That was tried too often. Try again in {minutes} minute{'s' if minutes > 1 else ''}.",
        again_in_s=seconds,
    )
