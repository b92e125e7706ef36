"""Roles in words, in the order in which a firm would name them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from qa.services.access import Role
from qa.texts.listing import listed
from qa.texts.saying import to_say
from qa.web.form_fields import Option

_DOES: Mapping[Role, str] = MappingProxyType(
    {
        Role.INSTALLER: to_say("records work on roofs and signs stages off"),
        Role.SUPERVISOR: to_say(
            "records work, releases stages, decides on what went wrong; "
            "needs a passkey or an authenticator"
        ),
        Role.OFFICE: to_say("starts jobs, makes packs, hands over, invites people"),
        Role.OWNER: to_say("does what the office does, and says who may do what"),
    }
)
_NAMES: Mapping[Role, str] = MappingProxyType(
    {
        Role.INSTALLER: to_say("installer"),
        Role.SUPERVISOR: to_say("supervisor"),
        Role.OFFICE: to_say("office"),
        Role.OWNER: to_say("owner"),
    }
)
_LABELS: Mapping[Role, str] = MappingProxyType(
    {
        Role.INSTALLER: to_say("Installer"),
        Role.SUPERVISOR: to_say("Supervisor"),
        Role.OFFICE: to_say("Office"),
        Role.OWNER: to_say("Owner"),
    }
)
ROLE_OPTIONS = tuple(
    Option(value=role.value, label=_LABELS[role], hint=does) for role, does in _DOES.items()
)


def words_of(roles: Iterable[str]) -> str:
    """Roles as a list in words: "installer and supervisor"."""
    held = frozenset(roles)
    return listed([str(_NAMES[role]) for role in _DOES if role in held])
