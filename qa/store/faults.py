"""What the database refuses, in words for a person: the one place where that is translated."""

from __future__ import annotations

from typing import cast

from sqlalchemy import Engine, event
from sqlalchemy.engine import Dialect, ExceptionContext
from sqlalchemy.exc import DatabaseError, DBAPIError, OperationalError

from qa.errors import StoreError
from qa.store.guards import GUARDS, TAKEN

_SENTENCES = tuple(refusal.sentence for guard in GUARDS for refusal in guard.refusals)


def translate_faults(engine: Engine) -> None:
    """Lets the engine raise StoreError for what a guard refuses and what the machine denies."""
    event.listen(engine, "handle_error", _translate)


def refusal_of(fault: Exception, dialect: Dialect) -> Exception:
    """What to raise for what a driver raised that was called without the library."""
    base = dialect.loaded_dbapi.Error
    wrapped = DBAPIError.instance(None, None, fault, base, hide_parameters=True, dialect=dialect)
    return _told(fault, wrapped) or cast(DBAPIError, wrapped)


def _translate(context: ExceptionContext) -> None:
    if context.is_pre_ping:
        return
    told = _told(context.original_exception, context.sqlalchemy_exception)
    if told is not None:
        raise told from context.original_exception


def _told(fault: BaseException, wrapped: BaseException | None) -> StoreError | None:
    """The sentence for what a driver raised, or None for a fault of the program.

    Args:
        fault: as the driver raised it.
        wrapped: the library's own exception for it.
    """
    said = str(fault)
    refused = next((one for one in _SENTENCES if one in said), None) or _taken(fault)
    if refused is not None:
        return StoreError(f"{refused} Nothing was saved.")
    # These two and none that derive from them: what contradicts a constraint is no fault of a disk.
    return cannot_be_used(said) if type(wrapped) in (OperationalError, DatabaseError) else None


def _taken(fault: BaseException) -> str | None:
    """What PostgreSQL says of a second row, where it names the key that is taken."""
    diagnosis = getattr(fault, "diag", None)
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
