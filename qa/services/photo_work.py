"""What the background does with originals: makes their copies, and lets go of what was erased."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from sqlalchemy.orm import Session

from qa.photos.renditions import Original, RenditionCache
from qa.services.installation import Installation
from qa.store.originals import find_original, is_held


def make_renditions(
    installation: Installation, subject: str, _now: datetime
) -> Callable[[Session], None]:
    """Makes every copy of an original, so that no page waits for one.

    Args:
        installation: where.
        subject: `firm/sha256`.
        _now: of no matter here.

    Raises:
        PhotoError, StoreError: the original cannot be copied.
    """
    firm_id, _, sha256 = subject.partition("/")
    with installation.store.reading() as session:
        photo = find_original(session, sha256, firm_id=firm_id)
    if photo is not None:
        path = installation.originals.path(sha256)
        cache = RenditionCache(installation.settings.renditions)
        cache.ensure([Original(name=sha256, path=path, sha256=sha256)])
    return _nothing_more


def forget_original(
    installation: Installation, subject: str, _now: datetime
) -> Callable[[Session], None]:
    """Deletes the file of an original and its copies, unless a firm holds it (again).

    Args:
        installation: where.
        subject: its SHA-256.
        _now: of no matter here.
    """

    def forget(session: Session) -> None:
        # Inside the transaction: who hands the same photo in waits for it, and looks again then.
        if not is_held(session, subject):
            installation.originals.delete(subject)
            RenditionCache(installation.settings.renditions).forget(subject)

    return forget


def _nothing_more(session: Session) -> None:
    """Copies are files; the database learns nothing of them."""
