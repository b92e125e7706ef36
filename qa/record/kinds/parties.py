"""The opening entry: what the job is, for whom, by whom, and what it is judged by."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated
from zoneinfo import ZoneInfo

from qa.record import fields
from qa.record.fields import Fault, Json, shown
from qa.record.kinds.quantities import (
    Key,
    LatitudeDeg,
    LongitudeDeg,
    PersonalText,
    Text,
)
from qa.record.schema import Body, object_reader


class Role(StrEnum):
    """What a person of the crew may decide; `office` keeps the papers and decides nothing."""

    INSTALLER = "installer"
    SUPERVISOR = "supervisor"
    OFFICE = "office"


_OF_THE_MACHINE = ("localtime", "posixrules", "posix/", "right/")
"""Found beside the zones of the list on some machines, with another meaning on each."""


def _time_zone(value: Json) -> str:
    try:
        if value.startswith(_OF_THE_MACHINE):
            raise ValueError(value)
        ZoneInfo(value)
    except (AttributeError, TypeError, ValueError, KeyError, OSError) as error:
        raise Fault(
            f"is {shown(value)}; it must be a time zone of the IANA list, such as Europe/London"
        ) from error
    return str(value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Firm:
    """The firm that does the work."""

    name: Text
    address: Text | None = None
    phone: Text | None = None
    email: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Client:
    """The person for whom the roof is made; every field is personal."""

    name: PersonalText
    email: PersonalText | None = None
    phone: PersonalText | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Where the roof is; every field is personal."""

    address: PersonalText
    latitude_deg: LatitudeDeg | None = None
    longitude_deg: LongitudeDeg | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One of the crew; other entries name them by `person` in their `by`."""

    person: Key
    name: PersonalText
    role: Annotated[Role, fields.choice(Role)]
    competence: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening(Body):
    """The body of kind `job`, always the first entry."""

    job: Key
    title: Text
    specification: Annotated[
        str, fields.word_of(r"[a-z0-9][a-z0-9-]*/[1-9][0-9]*", "a key and a version: general-grp/1")
    ]
    time_zone: Annotated[str, _time_zone]
    firm: Annotated[Firm, object_reader(Firm)]
    client: Annotated[Client, object_reader(Client)]
    site: Annotated[Site, object_reader(Site)]
    crew: Annotated[tuple[Person, ...], fields.some(object_reader(Person), what="person")]

    def faults(self) -> Iterator[tuple[str, str]]:
        """Refuses two people under one key."""
        seen: set[str] = set()
        for index, person in enumerate(self.crew):
            if person.person in seen:
                yield (
                    f".crew[{index}].person",
                    f"is {shown(person.person)} a second time; give each person a key of their own",
                )
            seen.add(person.person)
