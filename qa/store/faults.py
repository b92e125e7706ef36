"""What the database refuses, in words for a person: the one place where that is translated."""

from __future__ import annotations

from sqlalchemy import Engine, event
from sqlalchemy.engine import ExceptionContext
from sqlalchemy.exc import DatabaseError, OperationalError

from qa.errors import StoreError
from qa.store.guards import GUARDS, TAKEN

_SENTENCES = tuple(refusal.sentence for guard in GUARDS for refusal in guard.refusals)


def translate_faults(engine: Engine) -> None:
    """Lets the engine raise StoreError for what a guard refuses and what the machine denies."""
    event.listen(engine, "handle_error", _translate)


def _translate(context: ExceptionContext) -> None:
    if context.is_pre_ping:
        return
    said = str(context.original_exception)
    refused = next((one for one in _SENTENCES if one in said), None) or _taken(context)
    if refused is not None:
        raise StoreError(f"{refused} Nothing was saved.") from context.original_exception
    # These two and none that derive from them: what contradicts a constraint is no fault of a disk.
    if type(context.sqlalchemy_exception) in (OperationalError, DatabaseError):
        raise cannot_be_used(said) from context.original_exception


def _taken(context: ExceptionContext) -> str | None:
    """What PostgreSQL says of a second row, where it names the key that is taken."""
    diagnosis = getattr(context.original_exception, "diag", None)
    return TAKEN.get(getattr(diagnosis, "constraint_name", None) or "")


def cannot_be_used(said: str) -> StoreError:
    """The error for a database that does not do what it must.

    Args:
        said: what its driver says, of which the first line is shown.
    """
    first = (said.strip() or "it gives no reason").splitlines()[0]
    return StoreError(
        f"The database cannot be used: {first.rstrip('.')}. Nothing was saved. See that it runs, "
        "that its disk has space and may be written, and try again."
    )
