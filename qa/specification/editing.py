"""One table of a specification's file changed, and the whole held to the loader again.

What comes out could be judged by: nothing is kept that the loader would refuse.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping, MutableMapping
from types import MappingProxyType
from typing import Any

from qa.specification.loader import parse_specification
from qa.specification.toml_text import TomlTable, toml_text
from qa.specification.writer import write_specification
from qa.trade.vocabulary import Stage

HEAD = "head"
"""Path of the file's own values: title, note, decision rule."""
_HEAD_KEYS = ("title", "note", "decision_rule")
_RELEASED = ("check", "stage", "released")


def table_of(content: bytes, path: str) -> TomlTable:
    """One table of a file, empty where the file has none of that path.

    Args:
        content: a file without a fault.
        path: such as "check.deck.moisture", or `HEAD`.
    """
    document = _read(content)
    if path == HEAD:
        return MappingProxyType({key: document[key] for key in _HEAD_KEYS})
    inside: Any = document
    for part in path.split("."):
        inside = inside.get(part, {}) if isinstance(inside, Mapping) else {}
    return MappingProxyType(inside) if isinstance(inside, Mapping) else MappingProxyType({})


def mark_of(table: TomlTable) -> str:
    """A short digest of a table, by which somebody says what they have seen of it."""
    return hashlib.sha256(toml_text({"seen": table}).encode()).hexdigest()[:16]


def with_table(content: bytes, path: str, table: TomlTable) -> bytes:
    """A file with one table put in the place of what stood there; an empty one takes it away.

    The stages that a supervisor releases follow from the stages' own tables.

    Args:
        content: a file without a fault.
        path: such as "check.deck.moisture", or `HEAD`.
        table: the whole table.

    Raises:
        SpecificationError: with every fault of what it would become.
    """
    document = _read(content)
    if path == HEAD:
        document.update(table)
    else:
        _put(document, path.split("."), table)
    _name_hold_points(document)
    return _written(document)


def renamed(content: bytes, name: str) -> bytes:
    """A file under another name.

    Raises:
        SpecificationError: it is no name of a specification.
    """
    return _written(_read(content) | {"name": name})


def _read(content: bytes) -> dict[str, Any]:
    return tomllib.loads(content.decode("utf-8-sig"))


def _written(document: Mapping[str, object]) -> bytes:
    text = toml_text(document)
    return write_specification(parse_specification(text.encode(), file="The draft"))


def _put(document: MutableMapping[str, Any], parts: list[str], table: TomlTable) -> None:
    *outer, last = parts
    for part in outer:
        document = document.setdefault(part, {})
    if table:
        document[last] = dict(table)
    else:
        document.pop(last, None)


def _name_hold_points(document: Mapping[str, Any]) -> None:
    inside: Any = document
    for part in _RELEASED:
        inside = inside[part]
    stages = document["stage"]
    inside["stages"] = [stage.value for stage in Stage if stages[stage.value]["hold_point"] is True]
