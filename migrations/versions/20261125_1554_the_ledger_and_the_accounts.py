"""The tables: the ledger, the accounts, the summaries and the work in the background."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261125_1554"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table."""
    _create_people()
    _create_ledger()
    _create_summaries()
    _create_work()
    _create_proving()


def downgrade() -> None:
    """Drop every table, those that others point at last."""
    for table in _TABLES:
        op.drop_table(table)


_TABLES = (
    "upload",
    "release_waiting",
    "recovery_code",
    "photo",
    "passkey",
    "pack",
    "open_finding",
    "lot_used",
    "invitation",
    "entry",
    "disclosure",
    "person",
    "original",
    "job",
    "outbox",
    "firm",
    "counted_try",
    "challenge",
)


def _create_people() -> None:
    op.create_table(
        "firm",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("address", sa.String(), nullable=True),
        sa.Column("phone", sa.String(), nullable=True),
        sa.Column("email", sa.String(), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_firm"),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=True),
        sa.Column("roles", sa.String(), nullable=False),
        sa.Column("competence", sa.String(), nullable=True),
        sa.Column("password_hash", sa.String(), nullable=False),
        sa.Column("session_mark", sa.String(), nullable=False),
        sa.Column("totp_secret", sa.LargeBinary(), nullable=True),
        sa.Column("totp_step", sa.Integer(), nullable=True),
        sa.Column("appearance", sa.String(length=5), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_person_firm_id_firm"),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("email", name="uq_person_email"),
        sa.UniqueConstraint("firm_id", "key", name="uq_person_firm_id_key"),
        sa.UniqueConstraint("session_mark", name="uq_person_session_mark"),
    )
    op.create_table(
        "invitation",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("roles", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=True),
        sa.Column("invited_by", sa.String(length=36), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_invitation_firm_id_firm"),
        sa.ForeignKeyConstraint(
            ["invited_by"], ["person.id"], name="fk_invitation_invited_by_person"
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_invitation_person_id_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_invitation"),
        sa.UniqueConstraint("token_hash", name="uq_invitation_token_hash"),
    )
    op.create_index("ix_invitation_firm_id", "invitation", ["firm_id"])
    op.create_table(
        "passkey",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("credential_id", sa.LargeBinary(), nullable=False),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        sa.Column("sign_count", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_passkey_person_id_person"),
        sa.PrimaryKeyConstraint("id", name="pk_passkey"),
        sa.UniqueConstraint("credential_id", name="uq_passkey_credential_id"),
    )
    op.create_index("ix_passkey_person_id", "passkey", ["person_id"])
    op.create_table(
        "recovery_code",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_recovery_code_person_id_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_recovery_code"),
    )
    op.create_index("ix_recovery_code_person_id", "recovery_code", ["person_id"])


def _create_ledger() -> None:
    op.create_table(
        "job",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("opening_id", sa.String(length=36), nullable=False),
        sa.Column("reference", sa.String(length=80), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("specification", sa.String(), nullable=False),
        sa.Column("time_zone", sa.String(), nullable=False),
        sa.Column("entries", sa.Integer(), nullable=False),
        sa.Column("head", sa.String(length=64), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("address_entry", sa.String(length=36), nullable=True),
        sa.Column("address_field", sa.String(), nullable=True),
        sa.Column("stage", sa.String(), nullable=True),
        sa.Column("outside", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_job_firm_id_firm"),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
        sa.UniqueConstraint("firm_id", "opening_id", name="uq_job_firm_id_opening_id"),
        sa.UniqueConstraint("firm_id", "reference", name="uq_job_firm_id_reference"),
    )
    op.create_index("ix_job_firm_id_last_received_at", "job", ["firm_id", "last_received_at"])
    op.create_table(
        "original",
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("bytes", sa.Integer(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_original_firm_id_firm"),
        sa.PrimaryKeyConstraint("firm_id", "sha256", name="pk_original"),
    )
    op.create_table(
        "disclosure",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=False),
        sa.Column("field", sa.String(length=200), nullable=False),
        sa.Column("salt", sa.String(length=24), nullable=False),
        sa.Column("value", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_disclosure_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "entry_id", "field", name="pk_disclosure"),
    )
    op.create_table(
        "entry",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("by", sa.String(length=80), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("received_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("prev", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.Column("written", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_entry_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "id", name="pk_entry"),
        sa.UniqueConstraint("job_id", "seq", name="uq_entry_job_id_seq"),
    )
    op.create_table(
        "photo",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("entry_id", sa.String(length=36), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_photo_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "entry_id", name="pk_photo"),
    )
    op.create_index("ix_photo_job_id_sha256", "photo", ["job_id", "sha256"])


def _create_summaries() -> None:
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
        "release_waiting",
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("stage", sa.String(length=20), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("signed_by", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_release_waiting_job_id_job"),
        sa.PrimaryKeyConstraint("job_id", "stage", name="pk_release_waiting"),
    )


def _create_work() -> None:
    op.create_table(
        "outbox",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("task", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("due_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("fence", sa.Integer(), nullable=False),
        sa.Column("lease_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("gave_up_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_fault", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_outbox"),
    )
    op.create_index("ix_outbox_done_at_due_at", "outbox", ["done_at", "due_at"])
    op.create_table(
        "pack",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("asked_by", sa.String(length=36), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("step_done", sa.Integer(), nullable=False),
        sa.Column("step_of", sa.Integer(), nullable=False),
        sa.Column("program", sa.String(), nullable=True),
        sa.Column("entries", sa.Integer(), nullable=True),
        sa.Column("head", sa.String(length=64), nullable=True),
        sa.Column("sha256", sa.String(length=64), nullable=True),
        sa.Column("bytes", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("fault", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["asked_by"], ["person.id"], name="fk_pack_asked_by_person"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_pack_job_id_job"),
        sa.PrimaryKeyConstraint("id", name="pk_pack"),
        sa.UniqueConstraint("job_id", "number", name="uq_pack_job_id_number"),
    )
    op.create_table(
        "upload",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("firm_id", sa.String(length=36), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("length", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("finished_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["firm_id"], ["firm.id"], name="fk_upload_firm_id_firm"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_upload_person_id_person"),
        sa.PrimaryKeyConstraint("id", name="pk_upload"),
    )
    op.create_index("ix_upload_firm_id", "upload", ["firm_id"])


def _create_proving() -> None:
    op.create_table(
        "challenge",
        sa.Column("challenge_hash", sa.String(length=64), nullable=False),
        sa.Column("person_id", sa.String(length=36), nullable=True),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("challenge_hash", name="pk_challenge"),
    )
    op.create_index("ix_challenge_expires_at", "challenge", ["expires_at"])
    op.create_table(
        "counted_try",
        sa.Column("subject", sa.String(length=64), nullable=False),
        sa.Column("began_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("subject", name="pk_counted_try"),
    )
    op.create_index("ix_counted_try_began_at", "counted_try", ["began_at"])
