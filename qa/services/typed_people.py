"""What is typed about a person: read, and every fault of it said at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from qa.errors import AccountError, Problem
from qa.services.access import Role

LONGEST_NAME, LONGEST_EMAIL = 80, 254
_EMAIL = re.compile(r"[^@\s\"<>(),:;\\\[\]]+@[^@\s\"<>(),:;\\\[\]]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class TypedPerson:
    """A person as somebody names them: to be invited, or to be changed.

    Attributes:
        email: in small letters.
        name: as people call them.
        roles: at least one.
    """

    email: str
    name: str
    roles: frozenset[Role]


def read_person(*, email: str, name: str, roles: Iterable[str]) -> TypedPerson:
    """A person from what was typed.

    Raises:
        AccountError: says every fault, each with its field.
    """
    known = tuple(roles)
    faults = (*email_faults(email), *_name_faults(name), *_role_faults(known))
    if faults:
        raise AccountError(*faults)
    return TypedPerson(
        email=email.strip().lower(), name=" ".join(name.split()), roles=frozenset(map(Role, known))
    )


def read_name(name: str) -> str:
    """A name from what was typed.

    Raises:
        AccountError: it is empty, too long, or cannot be printed.
    """
    faults = tuple(_name_faults(name))
    if faults:
        raise AccountError(*faults)
    return " ".join(name.split())


def read_roles(roles: Iterable[str]) -> frozenset[Role]:
    """Roles from what was chosen.

    Raises:
        AccountError: there is none, or one that there is not.
    """
    known = tuple(roles)
    faults = tuple(_role_faults(known))
    if faults:
        raise AccountError(*faults)
    return frozenset(map(Role, known))


def fault_of(name: str, sentence: str) -> Problem:
    """A fault of one field of a form about an account."""
    return Problem(place="account", field=f"account.{name}", sentence=sentence)


def email_faults(email: str) -> Iterator[Problem]:
    """What is wrong with an e-mail address that was typed."""
    plain = email.strip()
    if not _EMAIL.fullmatch(plain) or not plain.isprintable() or len(plain) > LONGEST_EMAIL:
        yield fault_of("email", "This is no e-mail address; write it like nell@firm.example.")


def _name_faults(name: str) -> Iterator[Problem]:
    plain = " ".join(name.split())
    if not plain:
        yield fault_of("name", "The name is missing; write it as people call them.")
    elif len(plain) > LONGEST_NAME or not plain.isprintable():
        yield fault_of("name", f"A name has at most {LONGEST_NAME} characters, all visible.")


def _role_faults(roles: tuple[str, ...]) -> Iterator[Problem]:
    if not roles:
        yield fault_of("roles", "Choose at least one role.")
    elif set(roles) - {role.value for role in Role}:
        yield fault_of("roles", f"The roles are {', '.join(role.value for role in Role)}.")
