"""What the desk asks for: lists by firm, where batches went, words, facts, and packs due.

Everything here is a summary. What can be told from the tables is told at once; `laidtrue rebuild`
fills the rest from the entries.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1712"
down_revision = "20261125_1706"
branch_labels = None
depends_on = None

_BY_CODE_POINT = sa.String(160).with_variant(sa.String(160, collation="C"), "postgresql")


def upgrade() -> None:
    """Make and fill them."""
    _add_to_job()
    op.execute(
        "CREATE TABLE kept_finding AS SELECT f.*, j.firm_id, "
        "coalesce(e.received_at, j.last_received_at) AS noted_at FROM open_finding f "
        "JOIN job j ON j.id = f.job_id "
        "LEFT JOIN entry e ON e.job_id = f.job_id AND e.id = f.entry_id"
    )
    op.execute("CREATE TABLE kept_lot AS SELECT * FROM lot_used")
    op.execute("CREATE TABLE kept_release AS SELECT * FROM release_waiting")
    for table in ("open_finding", "lot_used", "release_waiting"):
        op.drop_table(table)
    _create_open_finding()
    _create_lot_used()
    _create_release_waiting()
    _fill()
    for table in ("kept_finding", "kept_lot", "kept_release"):
        op.drop_table(table)
    _create_new()


def _add_to_job() -> None:
    op.add_column("job", sa.Column("told", sa.Integer(), server_default="0", nullable=False))
    for name in ("complete", "pack_due"):
        column = sa.Column(name, sa.Boolean(), server_default=sa.false(), nullable=False)
        op.add_column("job", column)
    columns = ["firm_id", "pack_due", "last_received_at"]
    op.create_index("ix_job_firm_id_pack_due", "job", columns)


def _firm(table: str) -> tuple[sa.Column[str], sa.ForeignKeyConstraint, sa.ForeignKeyConstraint]:
    return (
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name=f"fk_{table}_firm_id_firm"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=f"fk_{table}_job_id_job"),
    )


def _create_open_finding() -> None:
    op.create_table(
        "open_finding",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("check", sa.String(length=80), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("area", sa.String(length=80), nullable=False),
        sa.Column("bay", sa.String(length=16), nullable=False),
        sa.Column("subject", sa.String(length=80), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=True),
        sa.Column("exact", sa.String(), nullable=False),
        sa.Column("late", sa.Boolean(), nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        *_firm("open_finding"),
        sa.PrimaryKeyConstraint(
            "job_id", "check", "stage", "area", "bay", "subject", name="pk_open_finding"
        ),
    )
    for name in ("late", "check"):
        columns = ["firm_id", name, "noted_at"]
        op.create_index(f"ix_open_finding_firm_id_{name}_noted_at", "open_finding", columns)


def _create_lot_used() -> None:
    op.create_table(
        "lot_used",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("lot", sa.String(length=80), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("product", sa.String(), nullable=False),
        sa.Column("batch_number", sa.String(), nullable=False),
        sa.Column("use_by", sa.Date(), nullable=True),
        sa.Column("batch_key", _BY_CODE_POINT, nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        *_firm("lot_used"),
        sa.PrimaryKeyConstraint("job_id", "lot", name="pk_lot_used"),
    )
    columns = ["firm_id", "batch_key", "job_id"]
    op.create_index("ix_lot_used_firm_id_batch_key_job_id", "lot_used", columns)


def _create_release_waiting() -> None:
    op.create_table(
        "release_waiting",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("signed_by", sa.String(length=80), nullable=False),
        *_firm("release_waiting"),
        sa.PrimaryKeyConstraint("job_id", "stage", name="pk_release_waiting"),
    )
    columns = ["firm_id", "signed_at", "job_id"]
    op.create_index("ix_release_waiting_firm_id_signed_at", "release_waiting", columns)


def _fill() -> None:
    op.execute(
        'INSERT INTO open_finding (job_id, "check", stage, area, bay, subject, entry_id, exact, '
        'late, noted_at, firm_id) SELECT job_id, "check", stage, area, bay, subject, entry_id, '
        "exact, \"check\" = 'record.timely', noted_at, firm_id FROM kept_finding"
    )
    op.execute(
        "INSERT INTO lot_used (job_id, lot, material, product, batch_number, use_by, batch_key, "
        "seq, firm_id) SELECT job_id, lot, material, product, batch_number, use_by, "
        "substr(lower(trim(batch_number)), 1, 160), 0, job.firm_id "
        "FROM kept_lot JOIN job ON job.id = kept_lot.job_id"
    )
    op.execute(
        "INSERT INTO release_waiting (job_id, stage, signed_at, signed_by, firm_id) "
        "SELECT job_id, kept_release.stage, signed_at, signed_by, job.firm_id "
        "FROM kept_release JOIN job ON job.id = job_id"
    )


def _create_new() -> None:
    op.create_table(
        "lot_laid",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("lot", sa.String(length=80), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("area", sa.String(length=80), nullable=False),
        sa.Column("mix", sa.String(length=80), nullable=False),
        sa.Column("bays", sa.Text(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_lot_laid_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "lot", "entry_id", name="pk_lot_laid"),
    )
    op.create_table(
        "job_word",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("word", _BY_CODE_POINT, nullable=False),
        *_firm("job_word"),
        sa.PrimaryKeyConstraint("job_id", "word", name="pk_job_word"),
    )
    columns = ["firm_id", "word", "job_id"]
    op.create_index("ix_job_word_firm_id_word_job_id", "job_word", columns)
    op.create_table(
        "job_facts",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_job_facts_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", name="pk_job_facts"),
    )


def downgrade() -> None:
    """Take them away; the summaries that stood before keep their rows."""
    for table in ("job_facts", "job_word", "lot_laid"):
        op.drop_table(table)
    op.execute("CREATE TABLE kept_finding AS SELECT * FROM open_finding")
    op.execute("CREATE TABLE kept_lot AS SELECT * FROM lot_used")
    op.execute("CREATE TABLE kept_release AS SELECT * FROM release_waiting")
    for table in ("open_finding", "lot_used", "release_waiting"):
        op.drop_table(table)
    _create_as_before()
    op.execute(
        'INSERT INTO open_finding SELECT job_id, "check", stage, area, bay, subject, entry_id, '
        "exact FROM kept_finding"
    )
    op.execute(
        "INSERT INTO lot_used SELECT job_id, lot, material, product, batch_number, use_by "
        "FROM kept_lot"
    )
    op.execute(
        "INSERT INTO release_waiting SELECT job_id, stage, signed_at, signed_by FROM kept_release"
    )
    for table in ("kept_finding", "kept_lot", "kept_release"):
        op.drop_table(table)
    op.drop_index("ix_job_firm_id_pack_due", "job")
    for name in ("pack_due", "complete", "told"):
        op.drop_column("job", name)


def _create_as_before() -> None:
    op.create_table(
        "open_finding",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("check", sa.String(length=80), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("area", sa.String(length=80), nullable=False),
        sa.Column("bay", sa.String(length=16), nullable=False),
        sa.Column("subject", sa.String(length=80), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=True),
        sa.Column("exact", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_open_finding_job_id_job"),
        sa.PrimaryKeyConstraint(
            "job_id", "check", "stage", "area", "bay", "subject", name="pk_open_finding"
        ),
    )
    op.create_table(
        "lot_used",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("lot", sa.String(length=80), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("product", sa.String(), nullable=False),
        sa.Column("batch_number", sa.String(), nullable=False),
        sa.Column("use_by", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_lot_used_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "lot", name="pk_lot_used"),
    )
    op.create_index("ix_lot_used_batch_number", "lot_used", ["batch_number"])
    op.create_table(
        "release_waiting",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("signed_by", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_release_waiting_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "stage", name="pk_release_waiting"),
    )
