"""The installation for a command: opened, closed, and asked whether it is there at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from qa.errors import UsageError

if TYPE_CHECKING:
    from qa.services.installation import Installation
    from qa.settings import Settings

firm_option = click.option(
    "--firm",
    metavar="NAME",
    help="The firm of the installation that is meant, where it has several.",
)


@contextmanager
def opened(settings: Settings) -> Iterator[Installation]:
    """The installation, closed again when the command has done its work."""
    from qa.services.installation import open_installation

    installation = open_installation(settings)
    try:
        yield installation
    finally:
        installation.store.engine.dispose()


def now() -> datetime:
    """The present moment."""
    return datetime.now(UTC)  # noqa: TID251 - the command line reads the clock


def is_kept_job(settings: Settings, named: Path, specification: Path | None) -> bool:
    """Whether what was named can only be a job of the installation, by its reference.

    A folder of that name comes first, and so does a path that is written as one.

    Raises:
        UsageError: it is one, and a specification was given, which a kept job brings itself.
    """
    if named.exists() or len(named.parts) != 1 or not _is_installed(settings):
        return False
    if specification is not None:
        raise UsageError(
            f"{named} is no folder. A job of the installation is judged by the specification that "
            "it pins; leave --specification out."
        )
    return True


def _is_installed(settings: Settings) -> bool:
    from qa.store.snapshots import sqlite_file

    file = sqlite_file(settings.database_url)
    return file is None or file.exists()
