"""What the work waits for, with prices; each build has its currency.

Revision ID: 0003
Revises: 0002
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "wait",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("sort", sa.String(), nullable=False),
        sa.Column("need", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("at_whom", sa.String(), nullable=False),
        sa.Column("since", sa.String(), nullable=True),
        sa.Column("due", sa.String(), nullable=True),
        sa.Column("price_minor", sa.Integer(), nullable=True),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("done_on", sa.String(), nullable=True),
        sa.Column("done_line", sa.String(), nullable=True),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_wait_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wait")),
    )
    op.create_index(op.f("ix_wait_build_id"), "wait", ["build_id"])
    op.add_column("build", sa.Column("currency", sa.String(), nullable=False, server_default="EUR"))


def downgrade() -> None:
    op.drop_column("build", "currency")
    op.drop_index(op.f("ix_wait_build_id"), table_name="wait")
    op.drop_table("wait")
