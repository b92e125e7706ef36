"""What the database refuses, in words for a person: the one place where that is translated."""

from __future__ import annotations

from sqlalchemy import Engine, event
from sqlalchemy.engine import ExceptionContext
from sqlalchemy.exc import OperationalError

from qa.errors import StoreError
from qa.store.guards import GUARDS

_SENTENCES = tuple(refusal.sentence for guard in GUARDS for refusal in guard.refusals)


def translate_faults(engine: Engine) -> None:
    """Lets the engine raise StoreError for what a guard refuses and what the machine denies."""
    event.listen(engine, "handle_error", _translate)


def _translate(context: ExceptionContext) -> None:
    if context.is_pre_ping:
        return
    said = str(context.original_exception)
    for sentence in _SENTENCES:
        if sentence in said:
            raise StoreError(f"{sentence} Nothing was saved.") from context.original_exception
    if isinstance(context.sqlalchemy_exception, OperationalError):
        first = said.strip().splitlines()[0] if said.strip() else "it gives no reason"
        raise StoreError(
            f"The database cannot be used: {first.rstrip('.')}. Nothing was saved. See that it "
            "runs, and that its disk has space and may be written, and try again."
        ) from context.original_exception
