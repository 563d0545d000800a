"""As which kind of thing each critical one became critical.

Revision ID: 0010
Revises: 0009
"""

import json

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("item", sa.Column("critical_as", sa.String(), nullable=False, server_default=""))
    rows = op.get_bind().execute(
        sa.text(
            "SELECT subject, body FROM journal WHERE verb IN ('add', 'edit') AND subject LIKE 'item:%'"
            " ORDER BY seq"
        )
    )
    kinds: dict[str, str] = {}
    first: dict[str, str] = {}
    for subject, stored in rows:
        body, item = json.loads(stored), subject.partition(":")[2]
        kinds[item] = body.get("kind") or kinds.get(item, "")
        if body.get("critical"):
            first.setdefault(item, kinds[item])
    for item, kind in first.items():
        op.get_bind().execute(
            sa.text("UPDATE item SET critical_as = :kind WHERE id = :id AND was_critical"),
            {"kind": kind, "id": item},
        )


def downgrade() -> None:
    op.drop_column("item", "critical_as")
