"""TOML as this program writes it: tables of figures, texts and rows, the same bytes every time.

Only what a specification holds can be written. Reading is the standard library's; what is written
here it reads back to the same values (TOML 1.0.0).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

TomlTable = Mapping[str, object]
"""A table: texts, numbers, true or false, lists of these, tables, and lists of tables."""

_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}
_LAST_CONTROL = 0x1F
_DELETE = 0x7F


def toml_text(document: TomlTable) -> str:
    """A document: its own values first, then each table under its heading.

    Args:
        document: keys are bare: letters, digits, "-" and "_".

    Raises:
        TypeError: it holds something that TOML cannot say here.
    """
    return "\n\n".join(_sections("", document)) + "\n"


def _sections(path: str, table: TomlTable) -> Iterator[str]:
    """A table's own values under its heading, then the tables inside it."""
    own = [
        f"{key} = {_value(value, is_row=False)}"
        for key, value in table.items()
        if not isinstance(value, Mapping)
    ]
    if own:
        yield "\n".join([f"[{path}]", *own] if path else own)
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _sections(f"{path}.{key}" if path else key, value)


def _value(value: object, *, is_row: bool) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, str):
        return f'"{"".join(map(_sign, value))}"'
    if isinstance(value, Sequence):
        return _list(value, is_row=is_row)
    raise TypeError(f"{type(value).__name__} has no place in a specification.")


def _list(values: Sequence[object], *, is_row: bool) -> str:
    """A list on one line; one of rows on a line for each."""
    if is_row or not any(isinstance(one, Mapping) for one in values):
        return f"[{', '.join(_value(one, is_row=is_row) for one in values)}]"
    return "".join(["[\n", *(f"  {_row(one)},\n" for one in values), "]"])


def _row(row: object) -> str:
    if not isinstance(row, Mapping):
        raise TypeError(f"{type(row).__name__} is no row.")
    cells = (f"{key} = {_value(value, is_row=True)}" for key, value in row.items())
    return f"{{ {', '.join(cells)} }}"


def _number(number: float) -> str:
    """The shortest text that reads back as the same number; whole ones without a point."""
    return str(int(number)) if float(number).is_integer() else repr(float(number))


def _sign(sign: str) -> str:
    if sign in _ESCAPES:
        return _ESCAPES[sign]
    is_control = ord(sign) <= _LAST_CONTROL or ord(sign) == _DELETE
    return f"\\u{ord(sign):04X}" if is_control else sign
