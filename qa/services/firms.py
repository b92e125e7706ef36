"""Which firm is meant, where somebody keeps an installation from its command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from qa.errors import NotFoundError, UsageError
from qa.store import accounts

if TYPE_CHECKING:
    from qa.services.installation import Installation


def firm_named(installation: Installation, name: str | None) -> str:
    """The id of a firm.

    Args:
        installation: where.
        name: its name, whatever the case of its letters; None for the only one there is.

    Raises:
        NotFoundError: there is no firm, or none of that name.
        UsageError: several firms could be meant.
    """
    with installation.store.reading() as session:
        firms = accounts.firms(session)
    if not firms:
        raise NotFoundError(
            "The installation has no firm yet; add the first person with laidtrue person."
        )
    meant = [one for one in firms if name is None or one.name.casefold() == name.casefold()]
    names = ", ".join(f"“{one.name}”" for one in firms)
    if not meant:
        raise NotFoundError(f"There is no firm “{name}” here; there is {names}.")
    if len(meant) > 1:
        raise UsageError(f"Say which firm is meant, with --firm NAME: {names}.")
    return meant[0].id
