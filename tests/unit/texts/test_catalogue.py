"""Catalogues of other languages, as translators write them."""

from __future__ import annotations

from pathlib import Path

import pytest

from qa.errors import TextsError
from qa.texts.catalogue import ENGLISH, read_catalogue, read_catalogues

HEAD = """\
# An invented language.
msgid ""
msgstr ""
"X-Language-Name: Laidish\\n"
"Plural-Forms: nplurals=3; plural=(n==1 ? 0 : n<5 ? 1 : 2);\\n"

"""
TEXTS = """\
#: templates/pages/site/help.html
msgid "Help"
msgstr "Pleh"

msgid "%(number)s photo"
msgid_plural "%(number)s photos"
msgstr[0] "%(number)s otohp"
msgstr[1] "%(number)s otohpa"
msgstr[2] "%(number)s otohpam"

msgid ""
"A long one, "
"on two lines."
msgstr "Gnol."

msgid "Not yet done"
msgstr ""
"""


def written(folder: Path, content: str, name: str = "xl_LA.po") -> Path:
    path = folder / name
    path.write_text(content, encoding="utf-8")
    return path


def test_catalogue_says_texts_in_its_language(tmp_path: Path) -> None:
    catalogue = read_catalogue(written(tmp_path, HEAD + TEXTS))
    assert (catalogue.tag, catalogue.name) == ("xl-LA", "Laidish")
    assert catalogue.text("Help") == "Pleh"
    assert catalogue.text("A long one, on two lines.") == "Gnol."


@pytest.mark.parametrize(
    ("number", "form"), [(1, "otohp"), (4, "otohpa"), (5, "otohpam"), (0, "otohpa")]
)
def test_number_chooses_form_by_catalogue_rule(tmp_path: Path, number: int, form: str) -> None:
    catalogue = read_catalogue(written(tmp_path, HEAD + TEXTS))
    counted = catalogue.counted("%(number)s photo", "%(number)s photos", number)
    assert counted == f"%(number)s {form}"


def test_untranslated_text_is_said_in_english(tmp_path: Path) -> None:
    catalogue = read_catalogue(written(tmp_path, HEAD + TEXTS))
    assert catalogue.text("Not yet done") == "Not yet done"
    assert catalogue.counted("%(number)s bay", "%(number)s bays", 1) == "%(number)s bay"


def test_english_is_there_without_any_file(tmp_path: Path) -> None:
    assert read_catalogues(tmp_path) == (ENGLISH,)
    assert ENGLISH.counted("%(number)s bay", "%(number)s bays", 2) == "%(number)s bays"


@pytest.mark.parametrize("broken", ["Help\n", '"no word before it"\n', 'msgid "Help\n'])
def test_broken_line_is_named_with_file_and_number(tmp_path: Path, broken: str) -> None:
    with pytest.raises(TextsError, match=r"xl\.po, line 1"):
        read_catalogue(written(tmp_path, broken, "xl.po"))


def test_broken_rule_of_plurals_is_named(tmp_path: Path) -> None:
    content = 'msgid ""\nmsgstr "Plural-Forms: nplurals=2; plural=(n==;\\n"\n'
    with pytest.raises(TextsError, match="rule of plurals"):
        read_catalogue(written(tmp_path, content))
