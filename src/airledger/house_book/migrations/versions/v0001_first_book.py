"""The first tables."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """From nothing to the first tables."""
    op.create_table(
        "contents",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("data", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "houses",
        sa.Column("id", sa.String(32), primary_key=True),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("name", "place", "searched", "file_name")),
        sa.Column("head", sa.Integer, nullable=False),
        sa.Column("faults", sa.Integer, nullable=False),
        sa.Column("waits_for", sa.Text, nullable=False),
        sa.Column("decide_by", sa.String(10), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("changed_at", sa.String(32), nullable=False),
    )
    op.create_index("ix_houses_decide_by", "houses", ["decide_by", "name"])
    op.create_table(
        "revisions",
        sa.Column("house_id", sa.String(32), sa.ForeignKey("houses.id", name="fk_revisions_house_id_houses")),
        sa.Column("number", sa.Integer),
        sa.Column("base", sa.Integer, nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("made_by", sa.Text, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("faults", sa.Integer, nullable=False),
        sa.Column("edit_key", sa.String(64), nullable=True),
        sa.PrimaryKeyConstraint("house_id", "number", name="pk_revisions"),
        sa.UniqueConstraint("house_id", "edit_key", name="uq_revisions_house_id"),
    )
    op.create_table(
        "files",
        sa.Column("house_id", sa.String(32)),
        sa.Column("number", sa.Integer),
        sa.Column("path", sa.Text),
        sa.Column(
            "sha256", sa.String(64), sa.ForeignKey("contents.sha256", name="fk_files_sha256_contents"), nullable=False
        ),
        sa.PrimaryKeyConstraint("house_id", "number", "path", name="pk_files"),
        sa.ForeignKeyConstraint(
            ["house_id", "number"], ["revisions.house_id", "revisions.number"], name="fk_files_house_id_revisions"
        ),
    )
    op.create_table(
        "readings",
        sa.Column("id", sa.String(64), primary_key=True),
        sa.Column(
            "house_id", sa.String(32), sa.ForeignKey("houses.id", name="fk_readings_house_id_houses"), nullable=False
        ),
        sa.Column("taken_at", sa.String(32), nullable=False),
        sa.Column("received_at", sa.String(32), nullable=False),
        *(sa.Column(name, sa.Text, nullable=False) for name in ("made_by", "kind", "told")),
        sa.Column(
            "sha256", sa.String(64), sa.ForeignKey("contents.sha256", name="fk_readings_sha256_contents"), nullable=True
        ),
    )
    op.create_index("ix_readings_house_id", "readings", ["house_id"])
    op.create_table(
        "results",
        sa.Column("run_key", sa.String(64), primary_key=True),
        sa.Column(
            "house_id", sa.String(32), sa.ForeignKey("houses.id", name="fk_results_house_id_houses"), nullable=True
        ),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("told", sa.Text, nullable=False),
    )
    op.create_index("ix_results_house_id", "results", ["house_id"])
    op.create_table(
        "people",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("role", sa.String(16), nullable=False),
        sa.Column("password_hash", sa.Text, nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("ended_at", sa.String(32), nullable=False),
    )
    op.create_table(
        "access",
        sa.Column("person", sa.String(80), sa.ForeignKey("people.name", name="fk_access_person_people")),
        sa.Column("house_id", sa.String(32), sa.ForeignKey("houses.id", name="fk_access_house_id_houses")),
        sa.PrimaryKeyConstraint("person", "house_id", name="pk_access"),
    )
    op.create_table(
        "journal",
        sa.Column("place", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("by", sa.Text, nullable=False),
        sa.Column("what", sa.String(40), nullable=False),
        sa.Column("house_id", sa.String(32), nullable=False),
        sa.Column("told", sa.Text, nullable=False),
        sa.Column("before", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
    )
    op.create_index("ix_journal_house_id", "journal", ["house_id"])


def downgrade() -> None:
    """Never: a book is not taken back to an older shape, its backup is.

    Raises
    ------
    NotImplementedError
        always.
    """
    raise NotImplementedError("a book is not taken back to an older shape; put its backup in place")
