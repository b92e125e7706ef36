"""Laidtrue: the job-quality record and handover report generator for hand-laid GRP flat roofs."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from qa.services.installation import Installation
    from qa.settings import Settings

__version__ = "0.1.0"


def create_app(settings: Settings, *, installation: Installation | None = None) -> Flask:
    """The site of an installation: the one place where its parts meet.

    Args:
        settings: which installation; it is made where it is not there yet.
        installation: one that is open already, so that tests and the worker share it.
    """
    # Imported here: the command line and the bare bootstrap must not wait for the site.
    from qa.web.assembly import assemble  # noqa: PLC0415

    if installation is None:
        from qa.services.installation import open_installation  # noqa: PLC0415

        installation = open_installation(settings)
    return assemble(installation)
