"""Drafts of specifications, their trial runs, and versions that came with a job's folder."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1908"
down_revision = "20261125_1905"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables; the column is added without copying a guarded table."""
    op.add_column("specification", sa.Column("came_with", sa.String(), nullable=True))
    _make_drafts()
    _make_changes()
    _make_trials()
    _make_tried_jobs()


def downgrade() -> None:
    """Drop them."""
    op.drop_table("specification_trial_job")
    op.drop_table("specification_trial")
    op.drop_table("specification_change")
    op.drop_table("specification_draft")
    op.drop_column("specification", "came_with")


def _make_drafts() -> None:
    op.create_table(
        "specification_draft",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("came_from", sa.String(length=80), nullable=False),
        sa.Column("standing", sa.String(length=80), nullable=True),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("begun_by", sa.String(length=36), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_by", sa.String(length=36), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("published", sa.String(length=80), nullable=True),
        sa.ForeignKeyConstraint(
            ["firm_id"], ["firm.id"], name="fk_specification_draft_firm_id_firm"
        ),
        sa.ForeignKeyConstraint(
            ["begun_by"], ["person.id"], name="fk_specification_draft_begun_by_person"
        ),
        sa.ForeignKeyConstraint(
            ["ended_by"], ["person.id"], name="fk_specification_draft_ended_by_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_specification_draft"),
        sa.UniqueConstraint("firm_id", "standing", name="uq_specification_draft_firm_id_standing"),
    )


def _make_changes() -> None:
    op.create_table(
        "specification_change",
        sa.Column("draft_id", sa.String(length=36), nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("path", sa.String(), nullable=False),
        sa.Column("told", sa.String(), nullable=False),
        sa.Column("changed_by", sa.String(length=36), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["draft_id"],
            ["specification_draft.id"],
            name="fk_specification_change_draft_id_specification_draft",
        ),
        sa.ForeignKeyConstraint(
            ["changed_by"], ["person.id"], name="fk_specification_change_changed_by_person"
        ),
        sa.PrimaryKeyConstraint("draft_id", "revision", name="pk_specification_change"),
    )


def _make_trials() -> None:
    op.create_table(
        "specification_trial",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("asked_by", sa.String(length=36), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("after", sa.String(length=36), nullable=True),
        sa.Column("jobs_done", sa.Integer(), nullable=False),
        sa.Column("jobs_of", sa.Integer(), nullable=False),
        sa.Column("findings", sa.Integer(), nullable=False),
        sa.Column("touched", sa.Integer(), nullable=False),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("fault", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["firm_id"], ["firm.id"], name="fk_specification_trial_firm_id_firm"
        ),
        sa.ForeignKeyConstraint(
            ["asked_by"], ["person.id"], name="fk_specification_trial_asked_by_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_specification_trial"),
        sa.UniqueConstraint("firm_id", "sha256", name="uq_specification_trial_firm_id_sha256"),
    )


def _make_tried_jobs() -> None:
    op.create_table(
        "specification_trial_job",
        sa.Column("trial_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("pinned", sa.String(length=80), nullable=False),
        sa.Column("changes", sa.String(), nullable=False),
        sa.Column("fault", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trial_id"],
            ["specification_trial.id"],
            name="fk_specification_trial_job_trial_id_specification_trial",
        ),
        sa.ForeignKeyConstraint(
            ["job_id"], ["job.id"], name="fk_specification_trial_job_job_id_job"
        ),
        sa.PrimaryKeyConstraint("trial_id", "job_id", name="pk_specification_trial_job"),
    )
