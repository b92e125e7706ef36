"""The template for translators is kept, and nothing that is read is left without a mark."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.texts.bare import bare_in_code, bare_in_template
from tests.texts.gathering import ROOT, Said, gather
from tests.texts.template import KEPT, template

NAMES = frozenset(
    {
        "Laidtrue", "light dark", "record.jsonl", "personal.jsonl", "specification.toml", "photos",
        "ml", "mm",
    }
)  # fmt: skip
"""What is called so in every language."""
TEMPLATES = sorted((ROOT / "templates" / "pages").rglob("*.html"))
TO_PROGRAMS = ("api", "uploads")
"""Faces that programs read, in English; what is written into a record by the site itself is too."""
IN_THE_RECORD = frozenset(
    {
        "Bay ", "Batch label", "It is dry again.", "The cover was recorded.",
        "Stopped; cover not yet recorded.",
    }
)  # fmt: skip
OF_PROGRAMS = ("This needs a token that works", "SELECT 1")
CODE = [
    path
    for path in sorted((ROOT / "qa" / "web").rglob("*.py"))
    if path.relative_to(ROOT / "qa" / "web").parts[0] not in TO_PROGRAMS
]


@pytest.fixture(scope="module")
def texts() -> list[Said]:
    return gather()


def test_kept_template_has_every_text(texts: list[Said]) -> None:
    kept = KEPT.read_text(encoding="utf-8")
    assert kept == template(texts), "make it anew: python3 -m qa texts"


def test_template_holds_no_time_and_no_path_of_a_machine(texts: list[Said]) -> None:
    made = template(texts)
    assert not re.search(r"-Date:|/(?:home|work|tmp|root)/", made)


def test_values_of_a_text_are_those_that_are_given(texts: list[Said]) -> None:
    wrong = [
        f"{said.file}, line {said.line}: {said.english}"
        for said in texts
        if said.values is not None and said.names != said.values - {"number"} | said.names
    ]
    assert wrong == []


def test_text_has_one_plural_only(texts: list[Said]) -> None:
    many: dict[str, set[str]] = {}
    for said in texts:
        if said.many is not None:
            many.setdefault(said.english, set()).add(said.many)
    assert [english for english, forms in many.items() if len(forms) > 1] == []


def test_template_has_no_text_without_a_mark() -> None:
    bare = [
        f"{path.relative_to(ROOT)}: {text}"
        for path in TEMPLATES
        for text in bare_in_template(path.read_text(encoding="utf-8"), NAMES)
    ]
    assert "\n".join(bare) == ""


def test_code_of_pages_has_no_sentence_without_a_mark() -> None:
    bare = [
        f"{path.relative_to(ROOT)}: {text}"
        for path in CODE
        for text in bare_in_code(path)
        if text not in IN_THE_RECORD and not text.startswith(OF_PROGRAMS)
    ]
    assert "\n".join(bare) == ""


@pytest.mark.parametrize(
    "source",
    [
        "<p>Kindly wait</p>",
        '<b aria-label="Press it"></b>',
        '{{ save("Keep it") }}',
        "<p>{% trans %}Wait{% endtrans %} a little</p>",
    ],
)
def test_text_without_a_mark_is_found_in_a_template(source: str) -> None:
    assert len(bare_in_template(source, NAMES)) == 1


def test_text_without_a_mark_is_found_in_code(tmp_path: Path) -> None:
    module = tmp_path / "page.py"
    module.write_text(
        '"""A page."""\nx = f"Left on {day}."\ny = say("Left on %(day)s.", day=day)\n'
    )
    assert bare_in_code(module) == ["Left on "]
