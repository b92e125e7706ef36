"""How far long work is, on a terminal only."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from qa.services.loading import Progress


@contextmanager
def shown_progress() -> Iterator[Progress | None]:
    """Shows how far long work is, on a terminal; None in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    shown = ""

    def show(doing: str, done: int, whole: int) -> None:
        nonlocal shown
        shown = f"{doing}: {done} of {whole}"
        click.echo(f"\r\x1b[K{shown}", nl=False, err=True)

    try:
        yield show
    finally:
        if shown:
            click.echo("\r\x1b[K", nl=False, err=True)
