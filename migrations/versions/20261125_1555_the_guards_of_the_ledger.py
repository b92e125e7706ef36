"""The guards: entries are only ever added, in one line; disclosures are never changed.

The statements are frozen; what the program expects to find stands in the package, and a test holds
the two together.
"""

from __future__ import annotations

from alembic import op

revision = "20261125_1555"
down_revision = "20261125_1554"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Set the guards."""
    for statement in _GUARDS[op.get_context().dialect.name]:
        op.execute(statement)


def downgrade() -> None:
    """Lift the guards."""
    database = op.get_context().dialect.name
    for guard in _NAMES[database]:
        if database == "postgresql":
            op.execute(f"DROP FUNCTION {guard}() CASCADE")
        else:
            op.execute(f"DROP TRIGGER {guard}")


_NAMES = {
    "sqlite": [
        "entry_unchanged",
        "entry_kept",
        "entry_in_line",
        "disclosure_unchanged",
        "disclosure_once",
    ],
    "postgresql": [
        "entry_unchanged",
        "entry_kept",
        "entry_kept_whole",
        "entry_in_line",
        "disclosure_unchanged",
        "disclosure_kept_whole",
    ],
}

_GUARDS_OF_SQLITE = (
    """CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry BEGIN
  SELECT RAISE(ABORT, 'An entry of the record is never changed; put it right by a correction.');
END""",
    """CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN
  SELECT RAISE(ABORT, 'An entry of the record is never deleted.');
END""",
    """CREATE TRIGGER entry_in_line BEFORE INSERT ON entry BEGIN
  SELECT RAISE(ABORT, 'The record already holds an entry with this id or in this place.')
  WHERE EXISTS (SELECT 1 FROM entry WHERE rowid = NEW.rowid);
  SELECT RAISE(ABORT, 'The record already holds an entry with this id or in this place.')
  WHERE EXISTS (SELECT 1 FROM entry WHERE job_id = NEW.job_id AND id = NEW.id);
  SELECT RAISE(ABORT, 'The record already holds an entry with this id or in this place.')
  WHERE EXISTS (SELECT 1 FROM entry WHERE job_id = NEW.job_id AND seq = NEW.seq);
  SELECT RAISE(ABORT, 'An entry must come right behind the last one of its job and carry its hash.')
  WHERE NOT coalesce(
    (SELECT NEW.seq = seq + 1 AND NEW.prev = hash FROM entry
      WHERE job_id = NEW.job_id ORDER BY seq DESC LIMIT 1),
    NEW.seq = 0 AND NEW.prev =
      '0000000000000000000000000000000000000000000000000000000000000000');
END""",
    """CREATE TRIGGER disclosure_unchanged BEFORE UPDATE ON disclosure BEGIN
  SELECT RAISE(ABORT, 'A disclosure is never changed; it can only be erased.');
END""",
    """CREATE TRIGGER disclosure_once BEFORE INSERT ON disclosure BEGIN
  SELECT RAISE(ABORT, 'A disclosure is never changed; it can only be erased.')
  WHERE EXISTS (SELECT 1 FROM disclosure WHERE rowid = NEW.rowid);
  SELECT RAISE(ABORT, 'A disclosure is never changed; it can only be erased.')
  WHERE EXISTS (SELECT 1 FROM disclosure WHERE job_id = NEW.job_id
    AND entry_id = NEW.entry_id AND field = NEW.field);
END""",
)

_GUARDS_OF_POSTGRESQL = (
    """CREATE FUNCTION entry_unchanged() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'An entry of the record is never changed; put it right by a correction.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry
  FOR EACH ROW EXECUTE FUNCTION entry_unchanged()""",
    "ALTER TABLE entry ENABLE ALWAYS TRIGGER entry_unchanged",
    """CREATE FUNCTION entry_kept() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'An entry of the record is never deleted.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER entry_kept BEFORE DELETE ON entry
  FOR EACH ROW EXECUTE FUNCTION entry_kept()""",
    "ALTER TABLE entry ENABLE ALWAYS TRIGGER entry_kept",
    """CREATE FUNCTION entry_kept_whole() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'An entry of the record is never deleted.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER entry_kept_whole BEFORE TRUNCATE ON entry
  FOR EACH STATEMENT EXECUTE FUNCTION entry_kept_whole()""",
    "ALTER TABLE entry ENABLE ALWAYS TRIGGER entry_kept_whole",
    """CREATE FUNCTION entry_in_line() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  IF NOT coalesce(
    (SELECT NEW.seq = seq + 1 AND NEW.prev = hash FROM entry
      WHERE job_id = NEW.job_id ORDER BY seq DESC LIMIT 1),
    NEW.seq = 0 AND NEW.prev =
      '0000000000000000000000000000000000000000000000000000000000000000') THEN
  RAISE EXCEPTION 'An entry must come right behind the last one of its job and carry its hash.'
    USING ERRCODE = 'integrity_constraint_violation';
  END IF;
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER entry_in_line BEFORE INSERT ON entry
  FOR EACH ROW EXECUTE FUNCTION entry_in_line()""",
    "ALTER TABLE entry ENABLE ALWAYS TRIGGER entry_in_line",
    """CREATE FUNCTION disclosure_unchanged() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'A disclosure is never changed; it can only be erased.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER disclosure_unchanged BEFORE UPDATE ON disclosure
  FOR EACH ROW EXECUTE FUNCTION disclosure_unchanged()""",
    "ALTER TABLE disclosure ENABLE ALWAYS TRIGGER disclosure_unchanged",
    """CREATE FUNCTION disclosure_kept_whole() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'A disclosure is never changed; it can only be erased.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER disclosure_kept_whole BEFORE TRUNCATE ON disclosure
  FOR EACH STATEMENT EXECUTE FUNCTION disclosure_kept_whole()""",
    "ALTER TABLE disclosure ENABLE ALWAYS TRIGGER disclosure_kept_whole",
)

_GUARDS = {"sqlite": _GUARDS_OF_SQLITE, "postgresql": _GUARDS_OF_POSTGRESQL}
