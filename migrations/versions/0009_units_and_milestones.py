"""Units and routes of a build, what goes back after what, sides, what was ever critical.

Until now everything belonged to the vehicle unless somebody said otherwise: what nobody chose belongs to
nothing that is known. A line says so for each thing, so that the tables follow from the journal.

Revision ID: 0009
Revises: 0008
"""

import json
from collections import defaultdict
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

STATED = "upgrade"
_DEFAULT = "vehicle"
_LINE = sa.text(
    "INSERT INTO journal (id, build_id, subject, verb, body, v, after, device, person, phone_at, server_at)"
    " VALUES (:id, :build_id, :subject, 'edit', :body, 2, :after, '', '', '', :server_at)"
)


def upgrade() -> None:
    op.add_column("build", sa.Column("swap", sa.JSON(), nullable=False, server_default="{}"))
    critical = sa.Column("was_critical", sa.Boolean(), nullable=False, server_default=sa.false())
    op.add_column("item", critical)
    op.add_column("item", sa.Column("listed_as", sa.String(), nullable=False, server_default=""))
    op.add_column("item", sa.Column("system", sa.String(), nullable=False, server_default=""))
    op.create_table(
        "goes_after",
        sa.Column("item_id", sa.String(), nullable=False),
        sa.Column("after_item", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name="fk_goes_after_item_id_item"),
        sa.ForeignKeyConstraint(["after_item"], ["item.id"], name="fk_goes_after_after_item_item"),
        sa.PrimaryKeyConstraint("item_id", "after_item", name="pk_goes_after"),
    )
    op.create_index("ix_goes_after_after_item", "goes_after", ["after_item"])
    op.create_table(
        "side_exception",
        sa.Column("item_id", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name="fk_side_exception_item_id_item"),
        sa.PrimaryKeyConstraint("item_id", name="pk_side_exception"),
    )
    _ever_critical()
    _say_nothing_of_defaults()


def downgrade() -> None:
    op.drop_table("side_exception")
    op.drop_table("goes_after")
    op.drop_column("item", "system")
    op.drop_column("item", "listed_as")
    op.drop_column("item", "was_critical")
    op.drop_column("build", "swap")


def _lines() -> dict[str, list[dict[str, Any]]]:
    """Return for each item the bodies of the lines that describe it."""
    query = "SELECT subject, body FROM journal WHERE subject LIKE 'item:%' AND verb IN ('add', 'edit')"
    found: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for subject, body in op.get_bind().execute(sa.text(f"{query} ORDER BY seq")):
        found[subject.partition(":")[2]].append(json.loads(body))
    return found


def _ever_critical() -> None:
    said = {item for item, bodies in _lines().items() if any(body.get("critical") for body in bodies)}
    rows = op.get_bind().execute(sa.text("SELECT id, critical FROM item")).all()
    for item in [item for item, critical in rows if critical or item in said]:
        op.get_bind().execute(sa.text("UPDATE item SET was_critical = 1 WHERE id = :id"), {"id": item})


def _say_nothing_of_defaults() -> None:
    lines = _lines()
    now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    rows = op.get_bind().execute(sa.text("SELECT id, build_id, owner, detail, rev FROM item ORDER BY rowid"))
    for item, build_id, owner, stored, rev in rows.all():
        detail = json.loads(stored)
        said: dict[str, Any] = {}
        if owner == _DEFAULT and not _chose(lines[item]):
            said["owner"] = ""
        ends = detail.get("ends", [])
        if ends and {e.get("owner") for e in ends} == {_DEFAULT} and not any(e.get("label") for e in ends):
            said["detail"] = detail | {"ends": [end | {"owner": ""} for end in ends]}
        if not said:
            continue
        op.get_bind().execute(
            sa.text("UPDATE item SET owner = :owner, detail = :detail, rev = :rev WHERE id = :id"),
            {
                "owner": said.get("owner", owner),
                "detail": json.dumps(said.get("detail", detail)),
                "rev": rev + 1,
                "id": item,
            },
        )
        body = said | {"rev": rev + 1, "stated": STATED}
        op.get_bind().execute(
            _LINE,
            {
                "id": uuid4().hex,
                "build_id": build_id,
                "subject": f"item:{item}",
                "body": json.dumps(body),
                "after": json.dumps(_tips(f"item:{item}")),
                "server_at": now,
            },
        )


def _chose(bodies: list[dict[str, Any]]) -> bool:
    """Tell whether somebody said that it is the vehicle's, not only what it began with."""
    # An `add` line of earlier releases says the owner that all had; later ones say the fluid's system too.
    own = [body for nth, body in enumerate(bodies) if not body.get("stated") and (nth or "system" in body)]
    return any(body.get("owner") == _DEFAULT for body in own)


def _tips(subject: str) -> list[str]:
    """Return the lines of a subject that no other one had seen."""
    query = sa.text("SELECT id, after FROM journal WHERE subject = :subject ORDER BY seq")
    rows = op.get_bind().execute(query, {"subject": subject}).all()
    known = {line for line, _ in rows}
    named = {each for _, after in rows for each in json.loads(after)}
    ready = [line for line, after in rows if set(json.loads(after)) <= known]
    return sorted(set(ready) - named)
