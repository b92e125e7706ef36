"""How many findings a trial run would turn from one state into another, summed up as it goes."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1952"
down_revision = "20261125_1946"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the sum."""
    turns = sa.Column("turns", sa.String(), server_default="[]", nullable=False)
    op.add_column("specification_trial", turns)


def downgrade() -> None:
    """Drop it."""
    op.drop_column("specification_trial", "turns")
