"""A real PostgreSQL for the tests: started where it is first asked for, gone when they end.

It listens on a socket in a folder of its own and nowhere else. Every test gets a database of its
own: a copy of one that was migrated once, or one that another test has given back as it was.
"""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import psycopg

from qa.bootstrap.machine import program_at
from qa.bootstrap.parts import DATABASE
from qa.store.engine import open_engine
from qa.store.migrating import migrate_to_head

USER = "laidtrue"
TEMPLATE = "migrated"
PATIENCE_S = 60.0
"""How long a busy machine may take until the server answers."""

_UNSAFE_AND_FAST = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")
_ALONE = ("listen_addresses=", "max_connections=100", "log_min_messages=fatal")


class ServerError(Exception):
    """The server of the tests could not be started; the sentence says why."""


_SHAPE = """
SELECT coalesce(string_agg(line, chr(10) ORDER BY line), '') FROM (
  SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace
  UNION ALL
  SELECT tgenabled::text || pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal
  UNION ALL
  SELECT prosrc FROM pg_proc WHERE pronamespace = 'public'::regnamespace
  UNION ALL
  SELECT version_num FROM alembic_version
) AS shape (line)
"""
"""What a test may have changed about a database besides its rows."""

_EMPTY = """
DO $$
DECLARE one record;
BEGIN
  PERFORM set_config('session_replication_role', 'replica', true);
  ALTER TABLE entry DISABLE TRIGGER USER;
  ALTER TABLE disclosure DISABLE TRIGGER USER;
  ALTER TABLE specification DISABLE TRIGGER USER;
  FOR one IN SELECT tablename FROM pg_tables
      WHERE schemaname = 'public' AND tablename <> 'alembic_version' LOOP
    EXECUTE format('DELETE FROM %I', one.tablename);
  END LOOP;
  FOR one IN SELECT sequencename FROM pg_sequences WHERE schemaname = 'public' LOOP
    PERFORM setval(quote_ident(one.sequencename)::regclass, 1, false);
  END LOOP;
  FOR one IN SELECT tgname, tgrelid::regclass AS place FROM pg_trigger WHERE NOT tgisinternal LOOP
    EXECUTE format('ALTER TABLE %s ENABLE ALWAYS TRIGGER %I', one.place, one.tgname);
  END LOOP;
END $$
"""
"""Lifts the guards for as long as it empties every table; to truncate them takes far longer."""


@dataclass
class PostgresServer:
    """A server that runs.

    Attributes:
        folder: its socket and its data.
    """

    folder: Path
    _numbers: Iterator[int] = field(default_factory=lambda: count(1))
    _idle: list[str] = field(default_factory=list)
    _shape: str = ""

    def url(self, database: str) -> str:
        """The address of one of its databases."""
        return f"postgresql+psycopg://{USER}@/{database}?host={self.folder}"

    def connect(self, database: str = "postgres") -> psycopg.Connection[tuple[object, ...]]:
        """A connection past everything that a test does."""
        return psycopg.connect(host=str(self.folder), user=USER, dbname=database, autocommit=True)

    def make_template(self) -> None:
        """Makes and migrates the database that the others are copied from."""
        with self.connect() as connection:
            connection.execute(f"CREATE DATABASE {TEMPLATE}")
        engine = open_engine(self.url(TEMPLATE))
        migrate_to_head(engine)
        engine.dispose()
        with self.connect(TEMPLATE) as connection:
            self._shape = _shape(connection)

    @contextmanager
    def database(self) -> Iterator[str]:
        """A migrated database for one test, with no rows; its address.

        One that comes back in its first shape is emptied and lent again, which takes far less time
        than another copy.
        """
        name = self._idle.pop() if self._idle else self._make(TEMPLATE)
        try:
            yield self.url(name)
        finally:
            if self._is_emptied(name):
                self._idle.append(name)
            else:
                self._drop(name)

    @contextmanager
    def bare_database(self) -> Iterator[str]:
        """A database without a table, for one test; its address."""
        name = self._make("template0")
        try:
            yield self.url(name)
        finally:
            self._drop(name)

    def _make(self, template: str) -> str:
        name = f"of_test_{next(self._numbers)}"
        with self.connect() as connection:
            # By files: nothing is kept safe here, and it takes a third of the time of the log.
            connection.execute(f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY FILE_COPY")
        return name

    def _drop(self, name: str) -> None:
        with self.connect() as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)")

    def _is_emptied(self, name: str) -> bool:
        """Empties a database that has its first shape, and ends what a test left open in it."""
        with self.connect(name) as connection:
            connection.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
            if _shape(connection) != self._shape:
                return False
            connection.execute(_EMPTY)
            return _shape(connection) == self._shape


def _shape(connection: psycopg.Connection[tuple[object, ...]]) -> str:
    (shape,) = connection.execute(_SHAPE).fetchone() or ("",)
    return str(shape)


@contextmanager
def postgres_server() -> Iterator[PostgresServer]:
    """A server with the template in it.

    Raises:
        ServerError: it is not installed, or did not start.
    """
    programs = _programs()
    # The path of a socket may not be longer than 107 bytes, so the test's own folder will not do.
    folder = Path(tempfile.mkdtemp(prefix="laidtrue-pg-"))
    try:
        _hand_over(folder)
        server = PostgresServer(folder=folder)
        with _running(server, programs):
            server.make_template()
            yield server
    finally:
        shutil.rmtree(folder)


def _programs() -> Path:
    found = next(filter(None, map(program_at, DATABASE.names)), None)
    if found is None:
        raise ServerError(
            f"The tests need PostgreSQL, and {DATABASE.names[0]} is not to be found. Run "
            f"python3 -m qa test, which installs it, or install {DATABASE.debian} by hand."
        )
    return found.resolve().parent


@contextmanager
def _running(server: PostgresServer, programs: Path) -> Iterator[None]:
    data = server.folder / "data"
    making = [str(programs / "initdb"), "--pgdata", str(data), "--username", USER, "--no-sync"]
    making += ["--auth", "trust", "--encoding", "UTF8", "--locale", "C"]
    made = subprocess.run(_as_nobody(making), check=False, capture_output=True, text=True)
    if made.returncode != 0:
        raise ServerError(f"initdb could not make a database: {made.stderr.strip()}")
    serving = [str(programs / "postgres"), "-D", str(data), "-k", str(server.folder)]
    for setting in (*_UNSAFE_AND_FAST, *_ALONE):
        serving += ["-c", setting]
    log = server.folder / "log"
    with log.open("wb") as out, subprocess.Popen(_as_nobody(serving), stderr=out) as process:
        try:
            _wait_until_it_answers(server, process, log)
            yield
        finally:
            process.send_signal(signal.SIGQUIT)
            process.wait()


def _wait_until_it_answers(
    server: PostgresServer, process: subprocess.Popen[bytes], log: Path
) -> None:
    deadline = time.monotonic() + PATIENCE_S
    while time.monotonic() < deadline:
        try:
            server.connect().close()
        except psycopg.OperationalError:
            try:
                process.wait(timeout=0.05)
            except subprocess.TimeoutExpired:
                continue
            break
        else:
            return
    raise ServerError(f"PostgreSQL did not start: {log.read_text(errors='replace').strip()}")


def _as_nobody(command: Sequence[str]) -> list[str]:
    """PostgreSQL refuses to run as root; where root tests, another user serves.

    It dies with the tests, also where those are killed.
    """
    if os.geteuid() != 0:
        return list(command)
    user = _other_user()
    dropping = ["setpriv", f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups"]
    return [*dropping, "--pdeathsig=QUIT", "--", *command]


def _hand_over(folder: Path) -> None:
    if os.geteuid() == 0:
        user = _other_user()
        os.chown(folder, user.pw_uid, user.pw_gid)


def _other_user() -> pwd.struct_passwd:
    try:
        return pwd.getpwnam("postgres")
    except KeyError:
        return pwd.getpwnam("nobody")
