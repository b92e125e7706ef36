"""How a firm is called and reached: printed on its jobs from then on, and in their packs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from qa.errors import AccountError, NotFoundError, Problem
from qa.services.access import Act, Actor, require
from qa.services.typed_people import LONGEST_NAME, email_faults, fault_of
from qa.store import accounts
from qa.store.accounts import FirmAtRest

if TYPE_CHECKING:
    from qa.services.installation import Installation

LONGEST_ADDRESS, LONGEST_PHONE = 300, 40


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmDetails:
    """A firm as its jobs name it; nothing where a line is not given."""

    name: str
    address: str = ""
    phone: str = ""
    email: str = ""


def firm_details(installation: Installation, actor: Actor) -> FirmDetails:
    """The actor's firm.

    Raises:
        NotAllowedError: the actor may not look after the firm's details.
    """
    require(actor, Act.KEEP_FIRM)
    with installation.store.reading() as session:
        firm = accounts.firm_by_id(session, actor.firm_id)
    if firm is None:
        raise NotFoundError("This firm is not there any more.")
    return FirmDetails(
        name=firm.name,
        address=firm.address or "",
        phone=firm.phone or "",
        email=firm.email or "",
    )


def change_firm(installation: Installation, actor: Actor, typed: FirmDetails) -> None:
    """Keeps other details of the actor's firm; jobs that were started keep what they say.

    Raises:
        NotAllowedError: the actor may not look after the firm's details.
        AccountError: says every fault, each with its field.
    """
    require(actor, Act.KEEP_FIRM)
    plain = FirmDetails(
        name=_line(typed.name),
        address=_line(typed.address),
        phone=_line(typed.phone),
        email=typed.email.strip(),
    )
    faults = tuple(_faults(plain))
    if faults:
        raise AccountError(*faults)
    with installation.store.writing() as session:
        accounts.set_firm(
            session,
            FirmAtRest(
                id=actor.firm_id,
                name=plain.name,
                address=plain.address or None,
                phone=plain.phone or None,
                email=plain.email or None,
            ),
        )


def _line(typed: str) -> str:
    """What was typed in one line: the lines of an address stand behind each other."""
    return ", ".join(filter(None, (" ".join(line.split()) for line in typed.splitlines())))


def _faults(details: FirmDetails) -> Iterator[Problem]:
    if not details.name:
        yield fault_of("name", "The firm’s name is missing; write it as your letters have it.")
    for field, text, longest in (
        ("name", details.name, LONGEST_NAME),
        ("address", details.address, LONGEST_ADDRESS),
        ("phone", details.phone, LONGEST_PHONE),
    ):
        if len(text) > longest or not text.isprintable():
            yield fault_of(field, f"This line has at most {longest} characters, all visible.")
    if details.phone and not any(sign.isdigit() for sign in details.phone):
        yield fault_of("phone", "A telephone number has figures; write it as people dial it.")
    if details.email:
        yield from email_faults(details.email)
