"""What the house style fixes: the size of a module and of a function, and names."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import qa

PACKAGE = Path(qa.__file__).parent
MODULES = sorted(path.relative_to(PACKAGE) for path in PACKAGE.rglob("*.py"))

MODULE_LINES = 300
FUNCTION_LINES = 50
NO_SUBJECT = {"common", "helpers", "misc", "models", "tools", "utils"}

EACH_MODULE = pytest.mark.parametrize("module", MODULES, ids=str)


def _functions(module: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    tree = ast.parse((PACKAGE / module).read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def _lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count a function's lines without its docstring."""
    assert function.end_lineno is not None
    total = function.end_lineno - function.lineno + 1
    first = function.body[0]
    if ast.get_docstring(function) is None or first.end_lineno is None:
        return total
    return total - (first.end_lineno - first.lineno + 1)


@EACH_MODULE
def test_module_is_read_in_one_sitting(module: Path) -> None:
    assert len((PACKAGE / module).read_text(encoding="utf-8").splitlines()) <= MODULE_LINES


@EACH_MODULE
def test_functions_do_one_thing(module: Path) -> None:
    long = [function.name for function in _functions(module) if _lines(function) > FUNCTION_LINES]
    assert long == []


@EACH_MODULE
def test_module_is_named_after_its_subject(module: Path) -> None:
    assert not NO_SUBJECT & {part.removesuffix(".py") for part in module.parts}
