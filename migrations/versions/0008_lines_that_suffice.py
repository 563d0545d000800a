"""Everything that is there is said once more by a line, so that the tables follow from the journal alone.

Earlier lines name what changed, not all of what it became. Each new line stands after all that is known of
its subject and says nothing of what happened to it: no state changes, and no line that a phone has kept since
before disagrees with it.

Revision ID: 0008
Revises: 0007
"""

import json
from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

STATED = "upgrade"
Row = dict[str, Any]
Said = tuple[str, str | None, Row]

_LINE = sa.text(
    "INSERT INTO journal (id, build_id, subject, verb, body, v, after, device, person, phone_at, server_at)"
    " VALUES (:id, :build_id, :subject, 'edit', :body, 2, :after, '', '', '', :server_at)"
)


def upgrade() -> None:
    said = [*_builds(), *_sheets(), *_places(), *_items(), *_tags(), *_photos(), *_outstanding(), *_tools()]
    if not said:
        return
    folder = op.get_bind().execute(sa.text("SELECT id FROM folder")).scalar() or ""
    now = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    tips = _tips()
    for subject, build_id, body in [(f"folder:{folder}", None, {"afresh": True}), *said]:
        op.get_bind().execute(
            _LINE,
            {
                "id": uuid4().hex,
                "build_id": build_id,
                "subject": subject,
                "body": json.dumps(body | {"stated": STATED}),
                "after": json.dumps(tips.get(subject, [])),
                "server_at": now,
            },
        )


def downgrade() -> None:
    """Leave the lines where they are: the journal is only added to, and older programs pass them over."""


def _rows(table: str) -> list[Row]:
    """Return all rows of a table in the order in which they were written."""
    query = f'SELECT * FROM "{table}" ORDER BY rowid'  # noqa: S608 - names of this file
    found = op.get_bind().execute(sa.text(query))
    return [dict(row) for row in found.mappings()]


def _by(rows: list[Row], column: str) -> dict[Any, list[Row]]:
    found: dict[Any, list[Row]] = defaultdict(list)
    for row in rows:
        found[row[column]].append(row)
    return found


def _without(row: Row, *columns: str) -> Row:
    return {name: value for name, value in row.items() if name not in columns}


def _tips() -> dict[str, list[str]]:
    """Return for each subject the lines that none of its others had seen, without those that wait for one."""
    rows = op.get_bind().execute(sa.text("SELECT subject, id, after FROM journal ORDER BY seq"))
    by_subject: dict[str, dict[str, set[str]]] = defaultdict(dict)
    for subject, line_id, after in rows:
        by_subject[subject][line_id] = set(json.loads(after))
    return {subject: _heads(lines) for subject, lines in by_subject.items()}


def _heads(lines: dict[str, set[str]]) -> list[str]:
    placed: set[str] = set()
    waiting, before = list(lines), -1
    while len(waiting) != before:  # nearly always once: lines come after those that they name
        before, still = len(waiting), []
        for line_id in waiting:
            if lines[line_id] <= placed:
                placed.add(line_id)
            else:
                still.append(line_id)
        waiting = still
    named = {each for line_id in placed for each in lines[line_id]}
    return sorted(placed - named)


def _builds() -> Iterator[Said]:
    zones, steps = _by(_rows("zone"), "build_id"), _by(_rows("step"), "build_id")
    edges = _by(_rows("step_edge"), "build_id")
    for build in _rows("build"):
        build_id = build["id"]
        yield (
            f"build:{build_id}",
            build_id,
            _without(build, "id")
            | {
                "zones": [_without(zone, "build_id") for zone in zones[build_id]],
                "steps": [_step(step) for step in steps[build_id]],
                "step_edges": [[e["before_step"], e["after_step"], e["reason"]] for e in edges[build_id]],
            },
        )


def _step(row: Row) -> Row:
    changed = {"cautions": json.loads(row["cautions"]), "shares_zone": bool(row["shares_zone"])}
    return _without(row, "build_id") | changed


def _sheets() -> Iterator[Said]:
    codes = _by(_rows("tag"), "sheet_id")
    for sheet in _rows("sheet"):
        known = {"halves": bool(sheet["halves"]), "codes": [tag["code"] for tag in codes[sheet["id"]]]}
        yield f"sheet:{sheet['id']}", None, _without(sheet, "id") | known


def _tags() -> Iterator[Said]:
    """Say what is known of the tags besides what their sheet's line says."""
    for tag in _rows("tag"):
        if tag["subject"] or tag["void_at"] or not tag["sheet_id"]:
            body = {"to": tag["subject"], "sheet": tag["sheet_id"], "void_at": tag["void_at"]}
            yield f"tag:{tag['code']}", None, body


def _places() -> Iterator[Said]:
    for place in _rows("place"):
        yield f"place:{place['id']}", place["build_id"], {"name": place["name"], "rev": place["rev"]}


def _items() -> Iterator[Said]:
    edges, exceptions = _by(_rows("edge"), "from_item"), _by(_rows("install_exception"), "item_id")
    for item in _rows("item"):
        leads: dict[str, list[str]] = defaultdict(list)
        for edge in edges[item["id"]]:
            leads[edge["rel"]].append(edge["to_item"])
        body = _without(item, "id", "build_id", "step_id", "zone_id") | {
            "step": item["step_id"] or "",
            "zone": item["zone_id"] or "",
            "critical": bool(item["critical"]),
            "detail": json.loads(item["detail"]),
        }
        if leads:
            body["edges"] = leads
        if stated := exceptions[item["id"]]:
            body["exceptions"] = [[e["what"], e["step_id"], e["nth"], e["reason"]] for e in stated]
        yield f"item:{item['id']}", item["build_id"], body


def _photos() -> Iterator[Said]:
    shows = _by(_rows("shows"), "photo_id")
    for photo in _rows("photo"):
        body = _without(photo, "id", "build_id", "line_id")
        body |= {"line": photo["line_id"], "shows": [each["subject"] for each in shows[photo["id"]]]}
        yield f"photo:{photo['id']}", photo["build_id"], body


def _outstanding() -> Iterator[Said]:
    for row in _rows("outstanding"):
        yield f"outstanding:{row['id']}", row["build_id"], _without(row, "id", "build_id")


def _tools() -> Iterator[Said]:
    for table in ("wrench", "adapter"):
        for row in _rows(table):
            yield f"{table}:{row['id']}", None, _without(row, "id")
