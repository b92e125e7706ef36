"""Which messages wait for an answer, and when somebody is next to look at a roof.

Both are summaries. Which messages were answered is told at once, by the entries that answer them;
`laidtrue rebuild` fills in the days of looks that were recorded before.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1905"
down_revision = "20261125_1809"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the columns and the indexes of their lists."""
    answered = sa.Column("answered", sa.Boolean(), server_default=sa.false(), nullable=False)
    op.add_column("message", answered)
    op.execute(
        "UPDATE message SET answered = true WHERE EXISTS (SELECT 1 FROM entry "
        "WHERE entry.job_id = message.job_id AND entry.id = message.answer_id)"
    )
    columns = ["firm_id", "answered", "received_at"]
    op.create_index("ix_message_firm_id_answered_received_at", "message", columns)
    op.add_column("job", sa.Column("next_look", sa.Date(), nullable=True))
    op.add_column("job", sa.Column("look_told", sa.Date(), nullable=True))
    op.create_index("ix_job_next_look", "job", ["next_look"])


def downgrade() -> None:
    """Take them away."""
    op.drop_index("ix_job_next_look", "job")
    op.drop_column("job", "look_told")
    op.drop_column("job", "next_look")
    op.drop_index("ix_message_firm_id_answered_received_at", "message")
    op.drop_column("message", "answered")
