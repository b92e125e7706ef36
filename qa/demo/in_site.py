"""The demonstration in the site: the invented firm, its people, and the job in its ledger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from qa.demo.people import DemoLogin, demo_firm_id, make_people
from qa.errors import ConflictError, StoreError
from qa.services.installation import open_installation
from qa.services.taking_in import take_job_in
from qa.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoInSite:
    """The demonstration as the site has it.

    Attributes:
        origin: the site's address.
        logins: how to sign in, one for each of the invented people.
        is_of_this_program: False where the site keeps the job that an older program put there; the
            ledger replaces no record by another.
    """

    origin: str
    logins: Sequence[DemoLogin]
    is_of_this_program: bool


def put_in_site(settings: Settings, folder: Path, *, now: datetime) -> DemoInSite:
    """Makes the invented firm and its people, and takes the demonstration's folder in.

    Done again, it gives the people new passwords and leaves the job as it has become meanwhile.

    Args:
        settings: say where.
        folder: the demonstration's job folder.
        now: the time.

    Raises:
        StoreError: the database or the folders cannot be used.
    """
    installation = open_installation(settings)
    logins = make_people(installation, now=now)
    with installation.store.reading() as session:
        firm_id = demo_firm_id(session)
    if firm_id is None:
        raise StoreError("The invented firm has gone while it was being made; try again.")
    try:
        take_job_in(installation, firm_id=firm_id, folder=folder, now=now)
        is_of_this_program = True
    except ConflictError:
        is_of_this_program = False
    finally:
        installation.store.engine.dispose()
    return DemoInSite(origin=settings.origin, logins=logins, is_of_this_program=is_of_this_program)
