"""Reminding firms of the looks at their roofs that are due: once for each day that is named."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from qa.services.look_dates import TOLD_BEFORE
from qa.services.mail_tasks import Mail, MailKind, enqueue_mail
from qa.store.due_looks import take_due_looks

if TYPE_CHECKING:
    from qa.services.installation import Installation

STILL_TOLD = timedelta(days=60)
"""A look that was due longer ago is not told of any more, as where e-mail was off till now."""


def remind(installation: Installation, *, now: datetime) -> int:
    """Has the firms told of every look that is due soon, where e-mail is sent at all.

    It is the background's to ask for, as often as it likes.

    Returns:
        How many looks they will be told of.
    """
    if installation.settings.mail is None:
        return 0
    today = now.date()
    with installation.store.writing() as session:
        looks = take_due_looks(session, first=today - STILL_TOLD, last=today + TOLD_BEFORE)
        for look in looks:
            mail = Mail(kind=MailKind.LOOK_DUE, about=f"{look.job_id}/{look.day.isoformat()}")
            enqueue_mail(installation, session, mail, now=now)
    return len(looks)
