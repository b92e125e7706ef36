"""Addresses of other programs that a firm's events are sent to, and what was sent there."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1925"
down_revision = "20261125_1908"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    moment = sa.DateTime(timezone=True)
    op.create_table(
        "webhook",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("address", sa.String(), nullable=False),
        sa.Column("events", sa.String(), nullable=False),
        sa.Column("secret", sa.LargeBinary(), nullable=True),
        sa.Column("former_secret", sa.LargeBinary(), nullable=True),
        sa.Column("former_until", moment, nullable=True),
        sa.Column("made_by", sa.String(length=36), nullable=False),
        sa.Column("created_at", moment, nullable=False),
        sa.Column("state", sa.String(length=8), nullable=False),
        sa.Column("because", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("ticket", sa.Integer(), nullable=False),
        sa.Column("next_at", moment, nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_webhook_firm_id_firm"),
        sa.ForeignKeyConstraint(["made_by"], ["person.id"], name="fk_webhook_made_by_person"),
        sa.PrimaryKeyConstraint("id", name="pk_webhook"),
    )
    op.create_index("ix_webhook_firm_id_state", "webhook", ["firm_id", "state"])
    op.create_table(
        "webhook_delivery",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("webhook_id", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("event", sa.String(length=20), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("written_at", moment, nullable=False),
        sa.Column("waits_since", moment, nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=9), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("fault", sa.String(), nullable=False),
        sa.Column("settled_at", moment, nullable=True),
        sa.ForeignKeyConstraint(
            ["webhook_id"], ["webhook.id"], name="fk_webhook_delivery_webhook_id_webhook"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_webhook_delivery"),
        sa.UniqueConstraint("webhook_id", "number", name="uq_webhook_delivery_webhook_id_number"),
    )
    columns = ["webhook_id", "state", "number"]
    op.create_index("ix_webhook_delivery_webhook_id_state_number", "webhook_delivery", columns)


def downgrade() -> None:
    """Drop them."""
    op.drop_table("webhook_delivery")
    op.drop_table("webhook")
