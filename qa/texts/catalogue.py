"""Catalogues: the texts of one language, read from the files in which translators write them.

The format is that of gettext's .po files: singular, plural and the rule of plurals. Contexts and
character sets other than UTF-8 are not used here.
"""

from __future__ import annotations

import ast
import gettext
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType

from qa.errors import TextsError

FOLDER = Path(__file__).parent
"""Where the template and the catalogues lie."""
ENGLISH_TAG = "en-GB"
_LINE = re.compile(r'(?:(msgid|msgid_plural|msgstr)(?:\[(\d+)\])? )?(".*")')
_RULE = re.compile(r"^Plural-Forms:.*\bplural=([^;]+);", re.MULTILINE)


def _of_two(number: int) -> int:
    """Which form English uses for a number."""
    return 0 if number == 1 else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The texts of one language.

    Attributes:
        tag: the language as the web writes it, such as "en-GB".
        name: the language in its own words.
        forms: the translations of each English text, one for each form of its plural; a text that
            is missing is said in English.
        form_of: which form a number takes.
    """

    tag: str
    name: str
    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict, repr=False)
    form_of: Callable[[int], int] = field(default=_of_two, repr=False)

    def text(self, english: str) -> str:
        """A text in this language."""
        forms = self.forms.get(english)
        return forms[0] if forms else english

    def counted(self, one: str, many: str, number: int) -> str:
        """The form of a text that a number takes."""
        forms = self.forms.get(one)
        if forms is None:
            return one if number == 1 else many
        return forms[min(self.form_of(number), len(forms) - 1)]


ENGLISH = Catalogue(tag=ENGLISH_TAG, name="English")


def read_catalogues(folder: Path = FOLDER) -> tuple[Catalogue, ...]:
    """Every language that is there, English first.

    Raises:
        TextsError: a file cannot be read.
    """
    return ENGLISH, *(read_catalogue(path) for path in sorted(folder.glob("*.po")))


def read_catalogue(path: Path) -> Catalogue:
    """The catalogue of a file named after its language, such as "de.po".

    Raises:
        TextsError: it cannot be read; the sentence says where.
    """
    entries = dict(_entries(path))
    head = entries.pop("", ("",))[0]
    rule = _RULE.search(head)
    named = re.search(r"^X-Language-Name: *(.+)$", head, re.MULTILINE)
    try:
        form_of = gettext.c2py(rule.group(1)) if rule else _of_two
    except ValueError as error:
        raise TextsError(f"{path.name}: its rule of plurals cannot be read; {error}.") from error
    return Catalogue(
        tag=path.stem.replace("_", "-"),
        name=named.group(1) if named else path.stem,
        forms=MappingProxyType({text: forms for text, forms in entries.items() if all(forms)}),
        form_of=form_of,
    )


def _entries(path: Path) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each English text with its translations, in the order of their forms."""
    texts: dict[str, str] = {}
    part = ""
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        found = _LINE.fullmatch(line)
        if found is None or not (part or found.group(1)):
            raise TextsError(f"{path.name}, line {number}: this is no line of a catalogue.")
        word, form, written = found.groups()
        if word == "msgid" and texts:
            yield _entry(texts)
            texts = {}
        part = f"{word}{form or ''}" if word else part
        texts[part] = texts.get(part, "") + str(ast.literal_eval(written))
    if texts:
        yield _entry(texts)


def _entry(texts: Mapping[str, str]) -> tuple[str, tuple[str, ...]]:
    return texts["msgid"], tuple(text for part, text in texts.items() if part.startswith("msgstr"))
