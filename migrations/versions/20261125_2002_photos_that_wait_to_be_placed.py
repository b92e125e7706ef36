"""Photographs that were brought in together and wait to be placed."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_2002"
down_revision = "20261125_1952"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "waiting_photo",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("taken_clock", sa.String(length=40), nullable=True),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("gps_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("said_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("clock_slow_min", sa.Integer(), nullable=False),
        sa.Column("chosen", sa.String(), nullable=True),
        sa.Column("arrived_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended", sa.String(length=10), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_waiting_photo_firm_id_firm"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_waiting_photo_job_id_job"),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_waiting_photo_person_id_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_waiting_photo"),
        sa.UniqueConstraint("job_id", "sha256", name="uq_waiting_photo_job_id_sha256"),
    )
    op.create_index("ix_waiting_photo_firm_id", "waiting_photo", ["firm_id"])


def downgrade() -> None:
    """Drop it."""
    op.drop_index("ix_waiting_photo_firm_id", table_name="waiting_photo")
    op.drop_table("waiting_photo")
