"""Tokens by which other programs act for a person."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1706"
down_revision = "20261125_1555"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "api_token",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_api_token_firm_id_firm"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_api_token_person_id_person"),
        sa.PrimaryKeyConstraint("id", name="pk_api_token"),
        sa.UniqueConstraint("token_hash", name="uq_api_token_token_hash"),
    )
    op.create_index("ix_api_token_firm_id", "api_token", ["firm_id"])
    op.create_index("ix_api_token_person_id", "api_token", ["person_id"])


def downgrade() -> None:
    """Drop it."""
    op.drop_table("api_token")
