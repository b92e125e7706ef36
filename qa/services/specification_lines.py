"""A specification line by line: every limit, row and figure with its unit, basis and source."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from qa.specification.loader import parse_specification
from qa.trade.notation import unit_text

_BESIDE = frozenset({"basis", "source", "unit"})
_IN_UNIT = frozenset({"lower", "upper", "value", "values"})
_HEAD = ("name", "title", "note", "decision_rule")
_TITLES: Mapping[str, str] = {
    "": "The file",
    "stage": "Stages",
    "check": "Checks",
    "chart": "Dose charts",
    "gel_time": "Gel time",
    "battens": "Battens",
    "uncertainty": "Uncertainties",
    "figure": "Rates and properties of materials",
    "planning": "Planning",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecificationLine:
    """One thing that a specification says.

    Attributes:
        path: its table in the file, such as "check.deck.moisture".
        title: what it is, for a person.
        says: name and text of each value, with its unit.
        basis, source: what it rests on; nothing where it is no limit and no figure.
    """

    path: str
    title: str
    says: tuple[tuple[str, str], ...]
    basis: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineGroup:
    """The lines of one part of the file."""

    title: str
    lines: tuple[SpecificationLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One value that two versions give otherwise; what one of them lacks is an empty text.

    Attributes:
        name: which value of the line.
    """

    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedLine:
    """A line that two versions give otherwise, each with its own source.

    Attributes:
        before_source, after_source: basis and source of each.
    """

    path: str
    title: str
    differences: tuple[Difference, ...]
    before_source: str
    after_source: str


def lines_of(content: bytes) -> tuple[SpecificationLine, ...]:
    """Every line of a specification, in the order of its file.

    Args:
        content: its file.

    Raises:
        SpecificationError: the file has a fault.
    """
    parse_specification(content, file="specification")
    document = tomllib.loads(content.decode("utf-8-sig"))
    head = {key: document[key] for key in _HEAD}
    return (_line("", head), *_lines("", document))


def grouped(lines: tuple[SpecificationLine, ...]) -> tuple[LineGroup, ...]:
    """Lines in the parts of the file."""
    parts = groupby(lines, key=lambda line: line.path.partition(".")[0])
    return tuple(LineGroup(title=_TITLES[part], lines=tuple(inside)) for part, inside in parts)


def compared(before: bytes, after: bytes) -> tuple[ChangedLine, ...]:
    """What two versions say otherwise, in the order of the files."""
    old = {line.path: line for line in lines_of(before)}
    new = {line.path: line for line in lines_of(after)}
    changed = (_changed(old.get(path), new.get(path)) for path in old | new)
    return tuple(line for line in changed if line is not None)


def _lines(path: str, table: Mapping[str, object]) -> Iterator[SpecificationLine]:
    """The tables of a file that say something by themselves."""
    for key, value in table.items():
        inside = f"{path}.{key}" if path else key
        if not isinstance(value, dict):
            continue
        if "source" in value or path == "stage":
            yield _line(inside, value)
        else:
            yield from _lines(inside, value)


def _line(path: str, table: Mapping[str, object]) -> SpecificationLine:
    unit = unit_text(_text(table.get("unit", "")))
    says = tuple(
        said
        for key, value in table.items()
        if key not in _BESIDE
        for said in _said(key, value, unit if key in _IN_UNIT else "")
    )
    return SpecificationLine(
        path=path,
        title=_title(path, table),
        says=says,
        basis=_text(table.get("basis", "")),
        source=_text(table.get("source", "")),
    )


def _title(path: str, table: Mapping[str, object]) -> str:
    if not path:
        return "What it is"
    named = table.get("quantity", table.get("title", ""))
    words = _text(named) or _words(path.rpartition(".")[2])
    return f"{words[:1].upper()}{words[1:]}"


def _said(key: str, value: object, unit: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        for number, row in enumerate(value, start=1):
            yield f"{_words(key)}, row {number}", _text(row)
    else:
        yield _words(key), f"{_text(value)} {unit}".rstrip()


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return f"{value:.12g}".replace("-", "−")
    if isinstance(value, dict):
        return "; ".join(f"{_words(key)} {_text(inner)}" for key, inner in value.items())
    if isinstance(value, list):
        return ", ".join(map(_text, value)) or "none"
    return str(value)


_UNITS_IN_KEYS: Mapping[str, str] = {
    "_ml_per_kg": ", ml/kg",
    "_kg_per_m2": ", kg/m²",
    "_g_per_cm3": ", g/cm³",
    "_g_per_ml": ", g/ml",
    "_g_per_m2": ", g/m²",
    "_m2_per_h": ", m²/h",
    "_pct": ", %",
    "_min": ", min",
    "_mm": ", mm",
    "_kg": ", kg",
    "_ml": ", ml",
    "_c": ", °C",
    "_m": ", m",
    "_k": ", K",
    "_h": ", h",
    "_s": ", s",
}


def _words(key: str) -> str:
    """A key of the file as words: "deck_uptake_kg_per_m2" gives "deck uptake, kg/m²"."""
    for ending, unit in _UNITS_IN_KEYS.items():
        if key.endswith(ending):
            return f"{key.removesuffix(ending)}{unit}".replace("_", " ")
    return key.replace("_", " ")


def _changed(
    before: SpecificationLine | None, after: SpecificationLine | None
) -> ChangedLine | None:
    either = after or before
    if before == after or either is None:
        return None
    old, new = _values(before), _values(after)
    return ChangedLine(
        path=either.path,
        title=either.title,
        differences=tuple(
            Difference(name=name, before=old.get(name, ""), after=new.get(name, ""))
            for name in old | new
            if old.get(name) != new.get(name)
        ),
        before_source=_source(before),
        after_source=_source(after),
    )


def _values(line: SpecificationLine | None) -> dict[str, str]:
    """Every value of a line; basis and source count among them."""
    if line is None:
        return {}
    return dict(line.says) | {"basis": line.basis, "source": line.source}


def _source(line: SpecificationLine | None) -> str:
    return f"{line.basis}: {line.source}" if line is not None and line.source else ""
