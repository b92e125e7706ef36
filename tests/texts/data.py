"""What on a page is no text of the site: values of the record, and words from below the site.

A stretch of words is data where it can be laid out, end to end, of strings that stand in the
record, in the specification or in code below the site, of figures, units, days and names.
"""

from __future__ import annotations

import ast
import calendar
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from tests.texts.gathering import ROOT

UNITS = frozenset(
    {"mm", "cm", "kg", "ml", "min", "pa", "px", "kb", "mb", "utc", "iso", "sha", "cm²", "m²"}
)
_BELOW = ("assess", "demo", "packs", "record", "services", "specification", "trade")
_TELLING = ("telling.py", "plain_fields.py")
_FIXTURES = ("tests/flow/browser.py", "tests/pictures/objects.py", "tests/specifications.py")
_WORD = re.compile(r"[^\W\d_]+")
_CODED = re.compile(r"\S*[\d_@/=\\]\S*")
"""Keys, ids, days, times, addresses, digests: what has a figure or a sign of a path in it."""

Words = tuple[str, ...]


class Data:
    """The strings that are data, to lay out stretches of words with."""

    def __init__(self, strings: Iterable[str]) -> None:
        self._known = {words for string in strings if (words := words_of(string))}
        self._known |= {(name.lower(),) for name in (*calendar.month_name, *calendar.day_name)}
        self._longest = max(map(len, self._known))
        self._answers: dict[Words, bool] = {}

    def covers(self, chunk: str) -> bool:
        """Whether a stretch of words is data from end to end."""
        words = words_of(chunk)
        if words not in self._answers:
            self._answers[words] = self._is_laid_out(words)
        return self._answers[words]

    def _is_laid_out(self, words: Words) -> bool:
        reached = [True, *(False for _ in words)]
        for start, word in enumerate(words):
            if not reached[start]:
                continue
            if word in UNITS or len(word) == 1:
                reached[start + 1] = True
            for end in range(start + 1, min(len(words), start + self._longest) + 1):
                if words[start:end] in self._known:
                    reached[end] = True
        return reached[-1]


def words_of(text: str) -> Words:
    """The words of a text in small letters, without what is coded."""
    return tuple(word.lower() for word in _WORD.findall(_CODED.sub(" ", text)))


def strings_below_the_site() -> Iterator[str]:
    """Every string of the code below the site, of the specification and of the invented objects."""
    paths = [path for part in _BELOW for path in (ROOT / "qa" / part).rglob("*.py")]
    for path in (*paths, ROOT / "qa" / "errors.py", *(ROOT / name for name in _FIXTURES)):
        yield from _strings_in_code(path)
    for path in (ROOT / "qa").rglob("*.toml"):
        content = tomllib.loads(path.read_text(encoding="utf-8"))
        yield from strings_in(content)
        yield from (word for key in _keys(content) for word in key.split("_"))


def _keys(value: object) -> Iterator[str]:
    """The names of the values of a file, at any depth."""
    if isinstance(value, dict):
        yield from value
        value = list(value.values())
    if isinstance(value, list):
        for inner in value:
            yield from _keys(inner)


def _strings_in_code(path: Path) -> Iterator[str]:
    """Sentences and their pieces; single words of kinds of values and of what tells entries."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    kinds = {
        id(node.value)
        for kind in ast.walk(tree)
        if isinstance(kind, ast.ClassDef)
        for node in kind.body
        if isinstance(node, ast.Assign)
    }
    tells = path.name in _TELLING
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or not isinstance(node.value, str):
            continue
        if id(node) not in told and (tells or " " in node.value or id(node) in kinds):
            yield node.value.replace("_", " ")


def strings_in(value: object) -> Iterator[str]:
    """Every string of a value as JSON has them."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from strings_in(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from strings_in(inner)
