"""Roles in words, in the order in which a firm would name them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from qa.services.access import Role
from qa.web.form_fields import Option

_DOES: Mapping[Role, str] = MappingProxyType(
    {
        Role.INSTALLER: "records work on roofs and signs stages off",
        Role.SUPERVISOR: "records work, releases stages, decides on what went wrong; "
        "needs a passkey or an authenticator",
        Role.OFFICE: "starts jobs, makes packs, hands over, invites people",
        Role.OWNER: "does what the office does, and says who may do what",
    }
)
ROLE_OPTIONS = tuple(
    Option(value=role.value, label=role.value.capitalize(), hint=does)
    for role, does in _DOES.items()
)


def words_of(roles: Iterable[str]) -> str:
    """Roles as a list in words: "installer and supervisor"."""
    held = frozenset(roles)
    words = [role.value for role in _DOES if role in held]
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))
