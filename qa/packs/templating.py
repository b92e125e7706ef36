"""The templates of the packs: where they are found, and the one environment that renders them.

Templates see context dataclasses and nothing else; an unknown name is an error, and everything that
people typed is escaped.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from qa.errors import PackError

_PACKAGE = Path(__file__).resolve().parents[1]
_PLACES = (_PACKAGE.parent / "templates", _PACKAGE / "_templates")
"""At the top of a checkout, or inside the package as a wheel brings them."""


def templates_folder() -> Path:
    """Where the templates are.

    Raises:
        PackError: neither place has them; the installation is not whole.
    """
    for place in _PLACES:
        if (place / "packs").is_dir():
            return place
    raise PackError("The templates of the packs are missing; install Laidtrue again.")


@cache
def environment() -> Environment:
    """The environment of all packs."""
    return Environment(
        loader=FileSystemLoader(templates_folder()),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=False,
    )


def render(template: str, **context: object) -> str:
    """The text of one template, such as "packs/handover/cover.html"."""
    return environment().get_template(template).render(**context)
