"""Texts in templates and code that nobody marked, as far as they can be told by their looks."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

_SAID = re.compile(
    r"\{#.*?#\}|\{%-?\s*trans\b.*?\bendtrans\s*-?%\}|\{% block width %\}\w+|<pre\b.*?</pre>",
    re.DOTALL,
)
"""Notes, marked texts, the class of a page, and programs that are shown."""
_JINJA = re.compile(r"\{\{.*?\}\}|\{%.*?%\}", re.DOTALL)
_TAG = re.compile(r"<[^>]*>", re.DOTALL)
_READ_OUT = re.compile(r'\b(?:aria-label|alt|title|placeholder)="([^"]*)"')
_LITERAL = re.compile(r'(\w*\()?"([^"]*)"')
_NO_TEXT = re.compile(r"\{%-?\s*(?:extends|import|from|include|block)\b")
_WORDS = re.compile(r"[A-Za-z]{2}")
_PLAIN_CALLS = frozenset({"_(", "url_for(", "asset(", "style_sheet(", "replace("})
SAYING_CALLS = frozenset({"say", "say_count", "to_say"})
NO_TEXT_CALLS = frozenset({"url_for", "compile", "cast", "getattr", "render_page", "removeprefix"})


def bare_in_template(source: str, names: frozenset[str]) -> list[str]:
    """Texts of a template without a mark.

    Args:
        source: the template.
        names: what is called so in every language.
    """
    rest = _SAID.sub("", source)
    markup = _JINJA.sub("", rest)
    found = [text.strip() for text in _TAG.split(markup) if '="' not in text]
    found += _READ_OUT.findall(markup)
    for expression in _JINJA.findall(rest):
        found += _literals(expression)
    return [text for text in found if _WORDS.search(text) and not _named(text, names)]


def _named(text: str, names: frozenset[str]) -> bool:
    """Whether it is a name, or that of a header of ours."""
    return text.strip("– ") in names or re.fullmatch(r"Laidtrue-\w+", text) is not None


def _literals(expression: str) -> Iterator[str]:
    """Literals of an expression that read like a text."""
    if _NO_TEXT.match(expression):
        return
    for call, text in _LITERAL.findall(expression):
        if call not in _PLAIN_CALLS and (" " in text.strip() or re.match("[A-Z][a-z]", text)):
            yield text


def bare_in_code(path: Path) -> list[str]:
    """Literals of a module that read like a sentence of the site and are not said."""
    found: list[str] = []
    _walk(ast.parse(path.read_text(encoding="utf-8")), found)
    return found


def _walk(node: ast.AST, found: list[str]) -> None:
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return  # a docstring
    if isinstance(node, ast.Call) and _called(node) in SAYING_CALLS | NO_TEXT_CALLS:
        return
    if isinstance(node, ast.JoinedStr):
        pieces = [piece.value for piece in node.values if isinstance(piece, ast.Constant)]
        found += [piece for piece in map(str, pieces) if _reads(piece)]
    elif isinstance(node, ast.Constant) and isinstance(node.value, str) and _reads(node.value):
        found.append(node.value)
    for child in ast.iter_child_nodes(node):
        if not (isinstance(node, ast.JoinedStr) and isinstance(child, ast.Constant)):
            _walk(child, found)


def _called(node: ast.Call) -> str:
    return getattr(node.func, "attr", getattr(node.func, "id", ""))


def _reads(text: str) -> bool:
    """Whether it reads like a sentence: a capital, a blank, words."""
    return re.match(r"[“A-Z][\w’“”]*[ ,:.][^=<>]*$", text) is not None and " " in text.strip()
