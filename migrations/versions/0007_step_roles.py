"""Steps with a role, and with a name and an instruction for each way.

A starter step that still has its name gets what the layouts said when this was written, from the table
beside this file; any other step gets the role that its cautions tell.

Revision ID: 0007
Revises: 0006
"""

import json
from pathlib import Path

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_TEXTS = ("role", "name_back", "instruction", "instruction_back")
_MILD = {"battery_first", "rags_and_caps", "maker_decides"}


def upgrade() -> None:
    for name in _TEXTS:
        op.add_column("step", sa.Column(name, sa.String(), nullable=False, server_default=""))
    op.add_column("step", sa.Column("for_helper", sa.Boolean(), nullable=False, server_default=sa.true()))
    table = json.loads(Path(__file__).with_suffix(".json").read_text(encoding="utf-8"))
    rows = op.get_bind().execute(
        sa.text(
            "SELECT step.id, step.name, step.direction, step.cautions, build.layout"
            " FROM step JOIN build ON build.id = step.build_id"
        )
    )
    for step_id, name, direction, stored, layout in rows.all():
        cautions = set(json.loads(stored))
        known = table.get(layout, {}).get(name) or table["every layout"].get(name)
        role, *texts = known or (_told_by(cautions, direction), "", "", "")
        op.get_bind().execute(
            sa.text(
                "UPDATE step SET role = :role, name_back = :back, instruction = :off, instruction_back = :on,"
                " for_helper = :helper WHERE id = :id"
            ),
            {
                "role": role,
                "back": texts[0],
                "off": texts[1],
                "on": texts[2],
                "helper": cautions <= _MILD,
                "id": step_id,
            },
        )


def downgrade() -> None:
    op.drop_column("step", "for_helper")
    for name in reversed(_TEXTS):
        op.drop_column("step", name)


def _told_by(cautions: set[str], direction: str) -> str:
    """Return the role of a step whose name was changed, as the starter steps' cautions tell it."""
    told = (
        ("crane_low", "lift", ""),
        ("first_start", "first_start", ""),
        ("cranking", "prime", ""),
        ("gearbox_prop", "mating", ""),
        ("engine_stand", "bench", ""),
        ("high_voltage", "battery", ""),
        ("used_fluids", "drain", "off_only"),
        ("used_fluids", "fill", "on_only"),
        ("hot_coolant", "bleed", "on_only"),
    )
    return next((role for key, role, only in told if key in cautions and only in {"", direction}), "")
