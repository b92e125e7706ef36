"""Specifications that firms make: a table whose rows are only ever inserted.

The guards' statements are frozen; what the program expects to find stands in the package.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1750"
down_revision = "20261125_1731"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table and set its guards."""
    op.create_table(
        "specification",
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=60), nullable=False),
        sa.Column("version", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("made_by", sa.String(length=36), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_specification_firm_id_firm"),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name="fk_specification_made_by_person"),
        sa.PrimaryKeyConstraint("firm_id", "key", "version", name="pk_specification"),
    )
    for statement in _GUARDS[op.get_context().dialect.name]:
        op.execute(statement)


def downgrade() -> None:
    """Drop the table, and with it its guards."""
    op.drop_table("specification")
    if op.get_context().dialect.name == "postgresql":
        for guard in _FUNCTIONS:
            op.execute(f"DROP FUNCTION {guard}()")


_FUNCTIONS = ("specification_unchanged", "specification_kept", "specification_kept_whole")

_GUARDS_OF_SQLITE = (
    """CREATE TRIGGER specification_unchanged BEFORE UPDATE ON specification BEGIN
  SELECT RAISE(ABORT, 'A version of a specification is never changed; make a new one.');
END""",
    """CREATE TRIGGER specification_kept BEFORE DELETE ON specification BEGIN
  SELECT RAISE(ABORT, 'A version of a specification is never changed; make a new one.');
END""",
    """CREATE TRIGGER specification_once BEFORE INSERT ON specification BEGIN
  SELECT RAISE(ABORT, 'A version of a specification is never changed; make a new one.')
  WHERE EXISTS (SELECT 1 FROM specification WHERE rowid = NEW.rowid);
  SELECT RAISE(ABORT, 'A version of a specification is never changed; make a new one.')
  WHERE EXISTS (SELECT 1 FROM specification WHERE firm_id = NEW.firm_id
    AND key = NEW.key AND version = NEW.version);
END""",
)

_GUARDS_OF_POSTGRESQL = (
    """CREATE FUNCTION specification_unchanged() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'A version of a specification is never changed; make a new one.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER specification_unchanged BEFORE UPDATE ON specification
  FOR EACH ROW EXECUTE FUNCTION specification_unchanged()""",
    "ALTER TABLE specification ENABLE ALWAYS TRIGGER specification_unchanged",
    """CREATE FUNCTION specification_kept() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'A version of a specification is never changed; make a new one.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER specification_kept BEFORE DELETE ON specification
  FOR EACH ROW EXECUTE FUNCTION specification_kept()""",
    "ALTER TABLE specification ENABLE ALWAYS TRIGGER specification_kept",
    """CREATE FUNCTION specification_kept_whole() RETURNS trigger LANGUAGE plpgsql
SET enable_seqscan = off AS $$
BEGIN
  RAISE EXCEPTION 'A version of a specification is never changed; make a new one.'
    USING ERRCODE = 'integrity_constraint_violation';
  RETURN NEW;
END
$$""",
    """CREATE TRIGGER specification_kept_whole BEFORE TRUNCATE ON specification
  FOR EACH STATEMENT EXECUTE FUNCTION specification_kept_whole()""",
    "ALTER TABLE specification ENABLE ALWAYS TRIGGER specification_kept_whole",
)

_GUARDS = {"sqlite": _GUARDS_OF_SQLITE, "postgresql": _GUARDS_OF_POSTGRESQL}
