"""Waking whoever works in the background: a hint that there is something in the outbox.

The outbox is the truth. A hint that is lost costs a minute, until the next look; so nothing waits
for it, and nobody is told where it could not be left.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from huey import SqliteHuey
from huey.serializer import SignedSerializer

from qa.services.vault import derived_key

if TYPE_CHECKING:
    from qa.services.installation import Installation

WORK = "work"
"""The one message; it carries nothing."""


def wake(installation: Installation) -> None:
    """Leaves the hint, after the transaction that wrote a task."""
    with suppress(sqlite3.Error):
        queue = open_queue(installation)
        try:
            _message(queue)()
        finally:
            queue.storage.close()


def open_queue(installation: Installation) -> SqliteHuey:
    """The queue of hints, in the instance folder.

    Its messages are signed by the installation's key: whoever may write the file cannot make a
    worker run what it likes.
    """
    path: Path = installation.settings.instance / "waking.db"
    secret = derived_key(installation.seal_key, "waking").hex()
    return SqliteHuey(
        "laidtrue", filename=str(path), results=False, serializer=SignedSerializer(secret=secret),
        # Nothing is lost with it, so nothing waits for the disk.
        fsync=False,
    )  # fmt: skip


def hear(queue: SqliteHuey, work: Callable[[], None]) -> None:
    """Lets a consumer of the queue do `work` at every hint."""

    # Hints go by module and name, so both ends are made here.
    def answer() -> None:
        work()

    queue.task(name=WORK)(answer)


def _message(queue: SqliteHuey) -> Callable[[], object]:
    answer: Callable[[], object] = queue.task(name=WORK)(_nothing)
    return answer


def _nothing() -> None:
    """Stands for the work where only the hint is left."""
