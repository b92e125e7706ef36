"""The guards of the ledger: what the database itself refuses, whoever asks.

Entries are only ever added, each behind the last one of its job; disclosures are added and erased,
never changed; versions of a firm's specifications are only ever added. The triggers stand here as
data; a migration makes them, and `require_guards` looks at every start whether they are there word
for word, so that a weakened one is found as well.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from sqlalchemy import Connection, Engine, text

from qa.errors import StoreError

SQLITE = "sqlite"
POSTGRESQL = "postgresql"
_BY_INDEX = "enable_seqscan = off"
"""A plan made while a table was small is kept, and would read all of it for every row after."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One thing that a guard refuses.

    Attributes:
        sentence: what the database says; without an apostrophe.
        when: a condition on NEW, in the SQL that both databases know; None for always.
        database: the one that needs it, or None for both.
    """

    sentence: str
    when: str | None = None
    database: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guard:
    """One trigger.

    Attributes:
        name: of the trigger, and of its function where there is one.
        table: what it guards.
        event: the word of SQL for what is about to happen.
        refusals: what it refuses, in order.
    """

    name: str
    table: str
    event: str
    refusals: tuple[Refusal, ...]

    def is_for(self, database: str) -> bool:
        """Whether a database needs it; SQLite knows no TRUNCATE."""
        return any(self._of(database)) and (database != SQLITE or self.event != "TRUNCATE")

    def sqlite_trigger(self) -> str:
        """The statement that makes it in SQLite, which keeps these very words."""
        steps = "".join(
            f"  SELECT RAISE(ABORT, '{refusal.sentence}')"
            + (f"\n  WHERE {refusal.when};\n" if refusal.when else ";\n")
            for refusal in self._of(SQLITE)
        )
        return f"CREATE TRIGGER {self.name} BEFORE {self.event} ON {self.table} BEGIN\n{steps}END"

    def postgresql_body(self) -> str:
        """The body of its function in PostgreSQL."""
        return f"BEGIN\n{''.join(map(_raising, self._of(POSTGRESQL)))}  RETURN NEW;\nEND"

    def postgresql_trigger(self) -> str:
        """The statement that ties the function to its table, as PostgreSQL writes it."""
        each = "STATEMENT" if self.event == "TRUNCATE" else "ROW"
        return (
            f"CREATE TRIGGER {self.name} BEFORE {self.event} ON {self.table}\n"
            f"  FOR EACH {each} EXECUTE FUNCTION {self.name}()"
        )

    def statements(self, database: str) -> tuple[str, ...]:
        """What makes it in a database; on PostgreSQL it also holds while rows are replicated."""
        if database == SQLITE:
            return (self.sqlite_trigger(),)
        function = (
            f"CREATE FUNCTION {self.name}() RETURNS trigger LANGUAGE plpgsql\nSET {_BY_INDEX}"
        )
        return (
            f"{function} AS $$\n{self.postgresql_body()}\n$$",
            self.postgresql_trigger(),
            f"ALTER TABLE {self.table} ENABLE ALWAYS TRIGGER {self.name}",
        )

    def _of(self, database: str) -> Iterator[Refusal]:
        return (one for one in self.refusals if one.database in (None, database))


def _raising(refusal: Refusal) -> str:
    saying = (
        f"  RAISE EXCEPTION '{refusal.sentence}'\n"
        "    USING ERRCODE = 'integrity_constraint_violation';\n"
    )
    return f"  IF {refusal.when} THEN\n{saying}  END IF;\n" if refusal.when else saying


_UNCHANGED = Refusal(
    sentence="An entry of the record is never changed; put it right by a correction."
)
_KEPT = Refusal(sentence="An entry of the record is never deleted.")
_ONCE = "The record already holds an entry with this id or in this place."
_IN_LINE = "An entry must come right behind the last one of its job and carry its hash."
_DISCLOSED = Refusal(sentence="A disclosure is never changed; it can only be erased.")
_PINNED = Refusal(sentence="A version of a specification is never changed; make a new one.")
_IS_THERE = "EXISTS (SELECT 1 FROM {table} WHERE {condition})"

_SLIPPED_IN = (
    "rowid = NEW.rowid",
    "job_id = NEW.job_id AND id = NEW.id",
    "job_id = NEW.job_id AND seq = NEW.seq",
)
_SLIPPED_OVER = (
    "rowid = NEW.rowid",
    "job_id = NEW.job_id\n    AND entry_id = NEW.entry_id AND field = NEW.field",
)
_SLIPPED_UNDER = (
    "rowid = NEW.rowid",
    "firm_id = NEW.firm_id\n    AND key = NEW.key AND version = NEW.version",
)
"""`INSERT OR REPLACE` of SQLite fires no delete trigger, and could name another row by its number.
PostgreSQL has no such statement, and refuses a second row of a key by itself: see `TAKEN`."""


def _replacing(table: str, conditions: tuple[str, ...], sentence: str) -> tuple[Refusal, ...]:
    return tuple(
        Refusal(
            sentence=sentence,
            database=SQLITE,
            when=_IS_THERE.format(table=table, condition=condition),
        )
        for condition in conditions
    )


_FOLLOWS = Refusal(
    sentence=_IN_LINE,
    when=(
        "NOT coalesce(\n"
        "    (SELECT NEW.seq = seq + 1 AND NEW.prev = hash FROM entry\n"
        "      WHERE job_id = NEW.job_id ORDER BY seq DESC LIMIT 1),\n"
        "    NEW.seq = 0 AND NEW.prev =\n"
        "      '0000000000000000000000000000000000000000000000000000000000000000')"
    ),
)

GUARDS = (
    Guard(name="entry_unchanged", table="entry", event="UPDATE", refusals=(_UNCHANGED,)),
    Guard(name="entry_kept", table="entry", event="DELETE", refusals=(_KEPT,)),
    Guard(name="entry_kept_whole", table="entry", event="TRUNCATE", refusals=(_KEPT,)),
    Guard(
        name="entry_in_line",
        table="entry",
        event="INSERT",
        refusals=(*_replacing("entry", _SLIPPED_IN, _ONCE), _FOLLOWS),
    ),
    Guard(name="disclosure_unchanged", table="disclosure", event="UPDATE", refusals=(_DISCLOSED,)),
    Guard(
        name="disclosure_kept_whole", table="disclosure", event="TRUNCATE", refusals=(_DISCLOSED,)
    ),
    Guard(
        name="disclosure_once",
        table="disclosure",
        event="INSERT",
        refusals=_replacing("disclosure", _SLIPPED_OVER, _DISCLOSED.sentence),
    ),
    Guard(
        name="specification_unchanged", table="specification", event="UPDATE", refusals=(_PINNED,)
    ),
    Guard(name="specification_kept", table="specification", event="DELETE", refusals=(_PINNED,)),
    Guard(
        name="specification_kept_whole",
        table="specification",
        event="TRUNCATE",
        refusals=(_PINNED,),
    ),
    Guard(
        name="specification_once",
        table="specification",
        event="INSERT",
        refusals=_replacing("specification", _SLIPPED_UNDER, _PINNED.sentence),
    ),
)

TAKEN: Mapping[str, str] = MappingProxyType(
    {
        "pk_entry": _ONCE,
        "uq_entry_job_id_seq": _ONCE,
        "pk_disclosure": _DISCLOSED.sentence,
        "pk_specification": _PINNED.sentence,
    }
)
"""What a key that is taken means, where the database itself refuses it."""


def guards_of(database: str) -> tuple[Guard, ...]:
    """The guards that a database needs."""
    return tuple(one for one in GUARDS if one.is_for(database))


def require_guards(engine: Engine) -> None:
    """Refuses a database that would let the record be changed.

    Raises:
        StoreError: names the guards that are missing or not what they should be.
    """
    database = engine.dialect.name
    with engine.connect() as connection:
        holds = _holds_in_sqlite if database == SQLITE else _holds_in_postgresql
        lacking = [one.name for one in guards_of(database) if not holds(connection, one)]
    if lacking:
        raise StoreError(
            f"The database no longer guards the record: {', '.join(lacking)} "
            f"{'is' if len(lacking) == 1 else 'are'} missing or changed. Nothing is opened. "
            "Restore the last backup beside this database and compare the two."
        )


def _holds_in_sqlite(connection: Connection, guard: Guard) -> bool:
    found = connection.execute(
        text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = :name"),
        {"name": guard.name},
    ).scalar()
    return found == guard.sqlite_trigger()


def _holds_in_postgresql(connection: Connection, guard: Guard) -> bool:
    found = connection.execute(
        text(
            "SELECT pg_get_triggerdef(t.oid, true) AS trigger, p.prosrc AS body,"
            " t.tgenabled AS on, p.proconfig AS settings"
            " FROM pg_trigger t JOIN pg_proc p ON p.oid = t.tgfoid"
            " WHERE t.tgname = :name AND t.tgrelid = to_regclass(:table)"
        ),
        {"name": guard.name, "table": guard.table},
    ).one_or_none()
    tied = " ".join(guard.postgresql_trigger().split())
    settings = [_BY_INDEX.replace(" ", "")]
    expected = (tied, f"\n{guard.postgresql_body()}\n", "A", settings)
    return found is not None and tuple(found) == expected
