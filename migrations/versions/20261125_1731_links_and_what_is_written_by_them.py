"""Links to a job for people outside the firm, and what they write to the firm by them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1731"
down_revision = "20261125_1712"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    _create_link()
    _create_message()


def downgrade() -> None:
    """Drop them, the one that points at the other first."""
    op.drop_table("message")
    op.drop_table("link")


def _create_link() -> None:
    op.create_table(
        "link",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("face", sa.String(length=10), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("made_by", sa.String(length=36), nullable=False),
        sa.Column("recipient", sa.String(), nullable=False),
        sa.Column("shows_personal", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_used_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("uses", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_link_firm_id_firm"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_link_job_id_job"),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name="fk_link_made_by_person"),
        sa.PrimaryKeyConstraint("id", name="pk_link"),
        sa.UniqueConstraint("token_hash", name="uq_link_token_hash"),
    )
    op.create_index("ix_link_job_id_created_at", "link", ["job_id", "created_at"])


def _create_message() -> None:
    op.create_table(
        "message",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("link_id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.Column("photo", sa.String(length=64), nullable=True),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=False),
        sa.Column("photo_entry_id", sa.String(length=36), nullable=False),
        sa.Column("answer_id", sa.String(length=36), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_message_firm_id_firm"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_message_job_id_job"),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name="fk_message_link_id_link"),
        sa.PrimaryKeyConstraint("id", name="pk_message"),
        sa.UniqueConstraint("answer_id", name="uq_message_answer_id"),
        sa.UniqueConstraint("entry_id", name="uq_message_entry_id"),
        sa.UniqueConstraint("photo_entry_id", name="uq_message_photo_entry_id"),
    )
    op.create_index("ix_message_job_id_received_at", "message", ["job_id", "received_at"])
