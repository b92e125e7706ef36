"""How firms read the files of their loggers."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1809"
down_revision = "20261125_1750"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "csv_layout",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("layout", sa.String(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_csv_layout_firm_id_firm"),
        sa.PrimaryKeyConstraint("id", name="pk_csv_layout"),
        sa.UniqueConstraint("firm_id", "fingerprint", name="uq_csv_layout_firm_id_fingerprint"),
    )


def downgrade() -> None:
    """Drop it."""
    op.drop_table("csv_layout")
