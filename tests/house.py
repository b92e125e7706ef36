"""An installation for tests, with two firms that must never see each other, and people of each."""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image

from qa.services.access import Actor, Role
from qa.services.installation import Installation, open_installation
from qa.settings import Settings
from qa.store.tables import FirmRow, PersonRow

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """An installation and who acts in it.

    Attributes:
        ines: installer of the first firm.
        omar: supervisor of the first firm.
        rival: installer and supervisor of the second firm.
    """

    installation: Installation
    ines: Actor
    omar: Actor
    rival: Actor


def open_house(folder: Path, database_url: str | None = None) -> House:
    """An installation in `folder` with its people."""
    installation = open_installation(Settings(instance=folder, database=database_url))
    add_firm(installation, "firm-1")
    add_firm(installation, "firm-2")
    return House(
        installation=installation,
        ines=add_person(installation, "firm-1", "ines", Role.INSTALLER),
        omar=add_person(installation, "firm-1", "omar", Role.SUPERVISOR),
        rival=add_person(installation, "firm-2", "rival", Role.INSTALLER, Role.SUPERVISOR),
    )


def add_firm(installation: Installation, firm_id: str) -> None:
    """Adds an invented firm."""
    with installation.store.writing() as session:
        session.add(FirmRow(id=firm_id, name=f"Invented Roofs {firm_id}", created_at=NOON))


def add_person(installation: Installation, firm_id: str, key: str, *roles: Role) -> Actor:
    """Adds a person who cannot sign in, and answers them as an actor."""
    person_id = f"{firm_id}-{key}"
    with installation.store.writing() as session:
        session.add(
            PersonRow(
                id=person_id,
                firm_id=firm_id,
                key=key,
                name=key.title(),
                email=f"{key}@{firm_id}.example",
                roles=" ".join(sorted(roles)),
                password_hash="!",
                session_mark=person_id,
                appearance="auto",
                created_at=NOON,
            )
        )
    return Actor(
        firm_id=firm_id,
        person_id=person_id,
        key=key,
        name=key.title(),
        roles=frozenset(roles),
    )


def jpeg(shade: int = 0, *, size_px: tuple[int, int] = (64, 48)) -> bytes:
    """A small photograph; each shade is another one."""
    file = io.BytesIO()
    colour = (shade % 256, shade // 256 % 256, 128)
    Image.new("RGB", size_px, colour).save(file, "JPEG", quality=85, comment=f"photo {shade}")
    return file.getvalue()
