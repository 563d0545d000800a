"""Tables and columns under the words that the rest of the program uses.

Revision ID: 0006
Revises: 0005
"""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

_OUTSTANDING = (
    "id, build_id, subject, {}, need, what, at_whom, since, due, price_minor, currency, count, done_on, "
    "done_line, rev"
)


def upgrade() -> None:
    op.create_table(
        "install_exception",
        sa.Column("item_id", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("step_id", sa.String(), nullable=False),
        sa.Column("nth", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_install_exception_item_id_item")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_install_exception_step_id_step")),
        sa.PrimaryKeyConstraint("item_id", "what", name=op.f("pk_install_exception")),
    )
    op.create_index(op.f("ix_install_exception_step_id"), "install_exception", ["step_id"])
    op.execute(
        "INSERT INTO install_exception (item_id, what, step_id, nth, reason)"
        " SELECT item_id, what, step_id, nth, reason FROM act"
    )
    op.drop_table("act")
    op.create_table("outstanding", *_outstanding("category", "outstanding"))
    op.create_index(op.f("ix_outstanding_build_id"), "outstanding", ["build_id"])
    _copy("wait", "sort", "outstanding", "category")
    op.drop_table("wait")
    op.execute("ALTER TABLE wrench RENAME COLUMN sort TO type")
    op.execute("ALTER TABLE build RENAME COLUMN words TO dialect")
    _rename_in_detail("sort", "type")


def downgrade() -> None:
    _rename_in_detail("type", "sort")
    op.execute("ALTER TABLE build RENAME COLUMN dialect TO words")
    op.execute("ALTER TABLE wrench RENAME COLUMN type TO sort")
    op.create_table("wait", *_outstanding("sort", "wait"))
    op.create_index(op.f("ix_wait_build_id"), "wait", ["build_id"])
    _copy("outstanding", "category", "wait", "sort")
    op.drop_table("outstanding")
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
    op.execute(
        "INSERT INTO act (item_id, what, step_id, nth, reason)"
        " SELECT item_id, what, step_id, nth, reason FROM install_exception"
    )
    op.drop_table("install_exception")


def _outstanding(category: str, table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column(category, sa.String(), nullable=False),
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
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f(f"fk_{table}_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]


def _copy(old: str, old_column: str, new: str, new_column: str) -> None:
    """Copy the rows in the order in which they were written."""
    op.execute(
        f"INSERT INTO {new} ({_OUTSTANDING.format(new_column)})"  # noqa: S608 - names of this file
        f" SELECT {_OUTSTANDING.format(old_column)} FROM {old} ORDER BY rowid"
    )


def _rename_in_detail(old: str, new: str) -> None:
    op.execute(
        f"UPDATE item SET detail = json_remove(json_set(detail, '$.{new}', json_extract(detail, '$.{old}')),"  # noqa: S608 - names of this file
        f" '$.{old}') WHERE json_extract(detail, '$.{old}') IS NOT NULL"
    )
