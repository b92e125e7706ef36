"""Personal values apart from the record: salted digests, disclosing, withholding.

The chain never covers a personal value in the clear. In its place stands the digest of `[salt,
value]`, and the pair is kept beside the record, where it can be erased while the chain still holds.
Without the random salt, a postcode's digest could be guessed.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from qa.record import fields
from qa.record.canonical import digest
from qa.record.entry import Entry
from qa.record.fields import Json
from qa.record.schema import PersonalReader, Withheld, field_readers, holds_personal, json_name

SALT_BYTES = 16


def _personal_value(value: Json) -> Any:
    """Text or a number; the field that it stands for judges it further."""
    if type(value) is str:
        return fields.text(value)
    if type(value) is int or type(value) is float:
        return _NUMBER(value)
    raise fields.Fault(f"is {fields.shown(value)}; it must be text or a number")


_NUMBER = fields.number(-1e6, 1e6, reason="no personal value is as large as that")


@dataclass(frozen=True, slots=True, kw_only=True)
class Disclosure:
    """A personal value with the salt that its digest was made with.

    Attributes:
        entry: id of the entry that holds the digest.
        field: path inside that entry's body: "/client/name".
        salt: base64url of 16 random bytes.
        value: the value itself.
    """

    entry: Annotated[str, fields.uuid]
    field: Annotated[str, fields.field_path]
    salt: Annotated[str, fields.word_of(r"[A-Za-z0-9_-]{22}(==)?", "base64url of 16 bytes")]
    value: Annotated[str | float, _personal_value]

    @property
    def digest(self) -> str:
        """What stands in the body in the value's place."""
        return digest([self.salt, self.value])


def withhold(
    body: Mapping[str, Json], paths: Iterable[str], *, entry: str, new_salt: Callable[[], str]
) -> tuple[dict[str, Json], tuple[Disclosure, ...]]:
    """A body with its personal values moved out.

    Args:
        body: the body as JSON.
        paths: where its personal values stand.
        entry: id of its entry.
        new_salt: answers a fresh base64url salt of 16 random bytes at each call.

    Returns:
        The new body, and one disclosure for each value that was moved.
    """
    hidden: Json = _copied(body)
    disclosures = []
    for path in paths:
        holder, name = _holder(hidden, path)
        moved = Disclosure(entry=entry, field=path, salt=new_salt(), value=holder[name])
        holder[name] = {"digest": moved.digest}
        disclosures.append(moved)
    return hidden, tuple(disclosures)


def disclose(body: Mapping[str, Json], disclosures: Iterable[Disclosure]) -> dict[str, Json]:
    """A body with the disclosed values put back in the place of their digests.

    Raises:
        fields.Fault: a disclosure that names no digest of the body, or whose digest differs.
    """
    shown: dict[str, Json] = _copied(body)
    for disclosure in disclosures:
        try:
            holder, name = _holder(shown, disclosure.field)
            standing = holder[name]
        except (KeyError, IndexError, TypeError, ValueError) as error:
            raise fields.Fault(f"{disclosure.field} is no field of the entry's body") from error
        if standing != {"digest": disclosure.digest}:
            raise fields.Fault(
                f"the value and salt for {disclosure.field} do not give the digest in the entry; "
                "one of them was changed, so put back personal.jsonl as it was exported"
            )
        holder[name] = disclosure.value
    return shown


def personal_paths(body: Any, prefix: str = "") -> Iterator[str]:
    """Where a typed body holds personal values in the clear: "/client/name", "/crew/0/name"."""
    if not holds_personal(type(body)):
        return
    readers = field_readers(type(body))
    for field in dataclasses.fields(body):
        value = getattr(body, field.name)
        name = json_name(field.name)
        path = f"{prefix}/{name}"
        if isinstance(readers[name], PersonalReader):
            if value is not None and not isinstance(value, Withheld):
                yield path
        elif dataclasses.is_dataclass(value):
            yield from personal_paths(value, path)
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if dataclasses.is_dataclass(item):
                    yield from personal_paths(item, f"{path}/{index}")


def entry_paths(entry: Entry) -> Iterator[str]:
    """Where an entry's body, or the new body of a correction, holds personal values."""
    yield from personal_paths(entry.body)
    if entry.new_body is not None:
        yield from personal_paths(entry.new_body, "/body")


_INDEX = re.compile(r"0|[1-9][0-9]*")


def _holder(body: Json, path: str) -> tuple[Json, str | int]:
    """The object or list that holds the value at `path`, and the value's name in it."""
    steps: list[str | int] = [int(s) if _INDEX.fullmatch(s) else s for s in path[1:].split("/")]
    for step in steps[:-1]:
        body = body[step]
    return body, steps[-1]


def _copied(value: Json) -> Json:
    if isinstance(value, Mapping):
        return {name: _copied(item) for name, item in value.items()}
    if isinstance(value, list | tuple):
        return [_copied(item) for item in value]
    return value
