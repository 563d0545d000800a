"""Stated orders of steps, and the exceptions of single items to the reverse.

Revision ID: 0004
Revises: 0003
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "step_edge",
        sa.Column("before_step", sa.String(), nullable=False),
        sa.Column("after_step", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["before_step"], ["step.id"], name=op.f("fk_step_edge_before_step_step")),
        sa.ForeignKeyConstraint(["after_step"], ["step.id"], name=op.f("fk_step_edge_after_step_step")),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_step_edge_build_id_build")),
        sa.PrimaryKeyConstraint("before_step", "after_step", name=op.f("pk_step_edge")),
    )
    op.create_index(op.f("ix_step_edge_after_step"), "step_edge", ["after_step"])
    op.create_index(op.f("ix_step_edge_build_id"), "step_edge", ["build_id"])
    op.create_table(
        "act",
        sa.Column("item_id", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("step_id", sa.String(), nullable=False),
        sa.Column("nth", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_act_item_id_item")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_act_step_id_step")),
        sa.PrimaryKeyConstraint("item_id", "what", name=op.f("pk_act")),
    )
    op.create_index(op.f("ix_act_step_id"), "act", ["step_id"])


def downgrade() -> None:
    op.drop_table("act")
    op.drop_table("step_edge")
