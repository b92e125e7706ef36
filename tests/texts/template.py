"""The template that translators copy: every text once, in the order of the alphabet.

It holds no time, no line number and nothing of the machine, so that it changes only with the texts.
"""

from __future__ import annotations

from collections.abc import Iterable

from qa.texts.catalogue import FOLDER
from tests.texts.gathering import Said

KEPT = FOLDER / "laidtrue.pot"
HEAD = """\
# Texts of Laidtrue. Copy this file to CODE.po beside it, such as de.po, and translate the copy.
# Keep %(name)s as it is: a value stands in its place. Keep the markup between < and > too.
msgid ""
msgstr ""
"Language: \\n"
"X-Language-Name: \\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"
"""


def template(texts: Iterable[Said]) -> str:
    """The template of these texts."""
    places: dict[tuple[str, str | None], set[str]] = {}
    for said in texts:
        places.setdefault((said.english, said.many), set()).add(said.file)
    kept = sorted(places, key=lambda text: (text[0], text[1] or ""))
    return "\n".join((HEAD, *(_entry(*text, sorted(places[text])) for text in kept)))


def _entry(english: str, many: str | None, files: Iterable[str]) -> str:
    lines = [f"#: {file}" for file in files]
    if "%(" in english or (many and "%(" in many):
        lines.append("#, python-format")
    lines.append(f"msgid {_written(english)}")
    if many is None:
        return "\n".join((*lines, 'msgstr ""', ""))
    return "\n".join((*lines, f"msgid_plural {_written(many)}", 'msgstr[0] ""', 'msgstr[1] ""', ""))


def _written(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{escaped}"'
