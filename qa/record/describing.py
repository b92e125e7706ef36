"""The format's own classes as JSON Schema, for programs of others.

A schema is read off the very readers that take an entry in: their ranges, words and least lengths
are those that the readers close over. So a description can say nothing that the format does not do,
and a reader that this module does not know stops it rather than being left out.
"""

from __future__ import annotations

import dataclasses
import inspect
import re
import typing
from collections.abc import Callable, Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from qa.record import fields
from qa.record.fields import LONGEST_KEY, LONGEST_TEXT, Json, Reader
from qa.record.kinds.marks import picture_point
from qa.record.kinds.papers import Correction
from qa.record.registry import BODIES, Kind
from qa.record.schema import PersonalReader, field_readers, json_name

Schema = dict[str, Json]

_DIGEST: Schema = {
    "type": "object",
    "properties": {"digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"}},
    "required": ["digest"],
    "additionalProperties": False,
}
_OF_THE_LEDGER = frozenset({"bytes", "media_type"})
_UUID = "^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
_PLAIN: Mapping[Reader, Schema] = MappingProxyType(
    {
        fields.text: {"type": "string", "minLength": 1, "maxLength": LONGEST_TEXT},
        fields.key: {"type": "string", "minLength": 1, "maxLength": LONGEST_KEY},
        fields.bay_key: {"type": "string", "pattern": "^r[1-9][0-9]{0,3}b[1-9][0-9]{0,3}$"},
        fields.truth: {"type": "boolean"},
        fields.moment: {"type": "string", "format": "date-time"},
        fields.day: {"type": "string", "format": "date"},
        picture_point: {
            "type": "array",
            "items": {"type": "number", "minimum": 0, "maximum": 1},
            "minItems": 2,
            "maxItems": 2,
        },
        fields.photo_file: {"type": "string", "pattern": "^photos/[^/\\\\]{1,200}$"},
        fields.sha256: {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        fields.uuid: {"type": "string", "format": "uuid", "pattern": _UUID},
    }
)
"""Readers that take nothing but the value."""


def body_schema(kind: Kind) -> Schema:
    """The schema of the body of a kind of entry."""
    body = BODIES[kind]
    schema = object_schema(body)
    if body is Correction:
        schema["properties"]["body"] = {"type": ["object", "null"]}
    return schema


def entry_schema(kind: Kind) -> Schema:
    """The schema of an entry of a kind as its writer sends it, without what the ledger adds."""
    return {
        "type": "object",
        "properties": {
            "id": _PLAIN[fields.uuid],
            "kind": {"const": kind.value},
            "at": _PLAIN[fields.moment],
            "by": _PLAIN[fields.key],
            "body": {"$ref": f"#/components/schemas/body_{kind.value}"},
        },
        "required": ["id", "kind", "at", "by", "body"],
        "additionalProperties": False,
    }


def object_schema(cls: type) -> Schema:
    """The schema of the JSON object that a class of the format describes.

    Raises:
        TypeError: a field has a reader that is not known here.
    """
    readers = field_readers(cls)
    required = [
        json_name(field.name)
        for field in dataclasses.fields(cls)
        if field.default is dataclasses.MISSING
    ]
    properties = {
        name: _field_schema(name, reader, is_required=name in required)
        for name, reader in readers.items()
        if name not in _OF_THE_LEDGER
    }
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def _field_schema(name: str, reader: Reader, *, is_required: bool) -> Schema:
    """A field's schema; one that may be left out may be null too, which says the same."""
    if isinstance(reader, PersonalReader):
        return {"anyOf": [_schema(reader.reader), _DIGEST], "x-personal": True}
    if name == "body":
        return {}
    schema = _schema(reader)
    if is_required:
        return schema
    return {"anyOf": [schema, {"type": "null"}]}


def _schema(reader: Reader) -> Schema:
    if reader in _PLAIN:
        return dict(_PLAIN[reader])
    maker = getattr(reader, "__qualname__", "").partition(".")[0]
    describe = _MADE.get(maker)
    if describe is None:  # a reader of one kind's own, such as that of a time zone
        answered = typing.get_type_hints(reader).get("return")
        if isinstance(answered, type) and issubclass(answered, str):
            words = [word.value for word in answered] if issubclass(answered, StrEnum) else None
            return {"type": "string"} | ({"enum": words} if words else {})
        raise TypeError(f"{reader} is a reader that qa.record.describing does not know")
    return describe(inspect.getclosurevars(reader).nonlocals)


def _number(held: Mapping[str, Any]) -> Schema:
    least = "exclusiveMinimum" if held["above"] else "minimum"
    return {"type": "number", least: held["low"], "maximum": held["high"]}


def _count(held: Mapping[str, Any]) -> Schema:
    return {"type": "integer", "minimum": held["least"], "maximum": held["most"]}


def _choice(held: Mapping[str, Any]) -> Schema:
    return {"type": "string", "enum": list(held["known"])}


def _some(held: Mapping[str, Any]) -> Schema:
    most = {} if held["most"] is None else {"maxItems": held["most"]}
    return {
        "type": "array",
        "items": _schema(held["reader"]),
        "minItems": held["least"],
    } | most


def _line(held: Mapping[str, Any]) -> Schema:
    return {"type": "string", "minLength": 1, "maxLength": held["longest"]}


def _place(held: Mapping[str, Any]) -> Schema:
    dimensions = held["dimensions"]
    coordinate = _schema(fields._COORDINATE)  # noqa: SLF001 - the one range of every coordinate
    return {
        "type": "array",
        "items": coordinate,
        "minItems": dimensions,
        "maxItems": dimensions,
    }


def _word_of(held: Mapping[str, Any]) -> Schema:
    compiled: re.Pattern[str] = held["compiled"]
    return {"type": "string", "pattern": f"^(?:{compiled.pattern})$"}


def _object(held: Mapping[str, Any]) -> Schema:
    return object_schema(held["cls"])


_MADE: Mapping[str, Callable[[Mapping[str, Any]], Schema]] = MappingProxyType(
    {
        "number": _number,
        "count": _count,
        "choice": _choice,
        "line": _line,
        "some": _some,
        "place": _place,
        "word_of": _word_of,
        "object_reader": _object,
    }
)
"""Makers of readers, and how what they made is described."""
