"""The index of jobs whose pack is due holds those alone, so that others grow without it."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1946"
down_revision = "20261125_1925"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the index anew, smaller."""
    op.drop_index("ix_job_firm_id_pack_due", table_name="job")
    op.create_index(
        "ix_job_firm_id_pack_due",
        "job",
        ["firm_id", "last_received_at"],
        sqlite_where=sa.text("pack_due IS 1"),
        postgresql_where=sa.text("pack_due IS true"),
    )


def downgrade() -> None:
    """Make it as it was."""
    op.drop_index("ix_job_firm_id_pack_due", table_name="job")
    op.create_index("ix_job_firm_id_pack_due", "job", ["firm_id", "pack_due", "last_received_at"])
