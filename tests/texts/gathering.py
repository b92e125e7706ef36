"""Every text that is marked in code and templates, with its plural and the files that say it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from jinja2.ext import babel_extract

ROOT = Path(__file__).resolve().parents[2]
SAYING = "qa.texts.saying"
_OPTIONS = {"trimmed": "true", "newstyle_gettext": "true", "trim_blocks": "true",
            "lstrip_blocks": "true", "silent": "false"}  # fmt: skip
_IN_CODE = {"say": 1, "to_say": 1, "say_count": 2}
"""The words that say a text, and how many literals each takes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A text at one place.

    Attributes:
        english: for one, or for any number.
        many: for another number than one; None where no number decides.
        file: below the root.
        line: from 1.
        values: names that are put in; None in a template, and where they come as a mapping.
    """

    english: str
    many: str | None
    file: str
    line: int
    values: frozenset[str] | None = None

    @property
    def names(self) -> frozenset[str]:
        """The names of values that stand in the text."""
        return frozenset(re.findall(r"%\((\w+)\)s", f"{self.english} {self.many or ''}"))


class NoLiteralError(Exception):
    """A text is not written where it is said, so that nobody can find it."""


def gather() -> list[Said]:
    """Every text of the site and its mail.

    Raises:
        NoLiteralError: a text is put together or comes from elsewhere.
    """
    code = [said for path in sorted(ROOT.glob("qa/**/*.py")) for said in _in_code(path)]
    pages = [*ROOT.glob("templates/pages/**/*.html"), *ROOT.glob("templates/mail/*.txt")]
    return [*code, *(said for path in sorted(pages) for said in _in_template(path))]


def _in_template(path: Path) -> Iterator[Said]:
    with path.open("rb") as file:
        found = list(babel_extract(file, ("_", "gettext", "ngettext"), (), _OPTIONS))
    for line, _, message, _ in found:
        texts = [message] if isinstance(message, str) else [one for one in message if one]
        if not texts:
            raise NoLiteralError(f"{path.relative_to(ROOT)}, line {line}")
        many = texts[1] if len(texts) > 1 else None
        yield Said(english=texts[0], many=many, file=_named(path), line=line)


def _in_code(path: Path) -> Iterator[Said]:
    source = path.read_text(encoding="utf-8")
    if SAYING not in source:
        return
    tree = ast.parse(source)
    words = {
        name.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module == SAYING
        for name in node.names
    } & _IN_CODE.keys()
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in words:
            yield _call(path, node, _IN_CODE[node.func.id])


def _call(path: Path, node: ast.Call, literals: int) -> Said:
    texts = [one.value for one in node.args[:literals] if isinstance(one, ast.Constant)]
    if len(texts) != literals or not all(isinstance(text, str) for text in texts):
        raise NoLiteralError(f"{_named(path)}, line {node.lineno}")
    names = {value.arg for value in node.keywords}
    given = None if None in names else frozenset(map(str, names))
    if given is not None and literals > 1:
        given |= {"number"}
    return Said(
        english=str(texts[0]),
        many=str(texts[1]) if literals > 1 else None,
        file=_named(path),
        line=node.lineno,
        values=given,
    )


def _named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()
