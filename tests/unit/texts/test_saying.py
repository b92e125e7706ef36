"""Texts said in the language of the moment, in code and in templates."""

from __future__ import annotations

from jinja2 import Environment

from qa.texts.catalogue import Catalogue
from qa.texts.saying import language, say, say_count, speaking, to_say
from qa.texts.templating import let_speak

LAIDISH = Catalogue(
    tag="xl",
    name="Laidish",
    forms={
        "Save": ("Evas",),
        "100 % done": ("100 % enod",),
        "Left on %(day)s.": ("%(day)s tfel.",),
        "%(number)s photo": ("%(number)s otohp", "%(number)s otohpa"),
        "Token of <b>%(name)s</b>": ("<b>%(name)s</b> nekot",),
    },
)


def template(source: str) -> str:
    environment = Environment(autoescape=True)
    let_speak(environment)
    return environment.from_string(source).render(name="A & B", count=3, label=LABEL)


LABEL = to_say("Save")


def test_text_is_english_where_nobody_chose() -> None:
    assert (say("Save"), language().tag) == ("Save", "en-GB")
    assert say("Left on %(day)s.", day="Monday") == "Left on Monday."
    assert say_count("%(number)s photo", "%(number)s photos", 1) == "1 photo"


def test_text_is_said_in_language_of_block_only() -> None:
    with speaking(LAIDISH):
        assert say("Save") == "Evas"
        assert say("100 % done") == "100 % enod"
        assert say("Left on %(day)s.", day="Monday") == "Monday tfel."
        assert say_count("%(number)s photo", "%(number)s photos", 2) == "2 otohpa"
    assert say("Save") == "Save"


def test_text_of_constant_is_said_when_read() -> None:
    with speaking(LAIDISH):
        assert [str(LABEL), f"{LABEL}.", LABEL + ".", "(" + LABEL] == [
            "Evas", "Evas.", "Evas.", "(Evas",
        ]  # fmt: skip
        assert [LABEL.lower(), LABEL[:1], LABEL.capitalize()] == ["evas", "E", "Evas"]
        assert template("{{ label }}") == "Evas"
    assert str(LABEL) == "Save"


def test_text_of_constant_compares_as_its_english() -> None:
    assert to_say("Save") == "Save"
    assert {LABEL: 1}["Save"] == 1


def test_template_says_texts_and_escapes_values() -> None:
    with speaking(LAIDISH):
        assert template('{{ _("Save") }}') == "Evas"
        marked = "{% trans name=name %}Token of <b>{{ name }}</b>{% endtrans %}"
        assert template(marked) == "<b>A &amp; B</b> nekot"
        counted = (
            "{% trans number=count %}{{ number }} photo{% pluralize %}{{ number }} photos"
            "{% endtrans %}"
        )
        assert template(counted) == "3 otohpa"


def test_line_ends_in_template_text_are_blanks() -> None:
    assert template("{% trans %}One\n   two{% endtrans %}") == "One two"
