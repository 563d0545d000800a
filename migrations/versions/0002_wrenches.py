"""The torque wrenches and the adapters that go on them: of the folder, not of one build.

Revision ID: 0002
Revises: 0001
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "wrench",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("low", sa.String(), nullable=False),
        sa.Column("high", sa.String(), nullable=False),
        sa.Column("unit", sa.String(), nullable=False),
        sa.Column("graduation", sa.String(), nullable=False),
        sa.Column("sort", sa.String(), nullable=False),
        sa.Column("lever_mm", sa.Double(), nullable=False),
        sa.Column("checked_at", sa.String(), nullable=True),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wrench")),
    )
    op.create_table(
        "adapter",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("length_mm", sa.Double(), nullable=False),
        sa.Column("angle_deg", sa.Double(), nullable=False),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_adapter")),
    )


def downgrade() -> None:
    op.drop_table("adapter")
    op.drop_table("wrench")
