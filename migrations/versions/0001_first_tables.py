"""The first tables: folder, crew, build, plan, tags, photos, journal.

Revision ID: 0001
Revises:
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TRIGGERS = {
    "journal_no_update": (
        "CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal "
        "BEGIN SELECT RAISE(ABORT, 'the journal is only ever added to'); END"
    ),
    "journal_no_delete": (
        "CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal "
        "BEGIN SELECT RAISE(ABORT, 'the journal is only ever added to'); END"
    ),
    "tag_stays_void": (
        "CREATE TRIGGER tag_stays_void BEFORE UPDATE ON tag WHEN OLD.void_at IS NOT NULL "
        "BEGIN SELECT RAISE(ABORT, 'a void tag is never used again'); END"
    ),
    "tag_no_delete": (
        "CREATE TRIGGER tag_no_delete BEFORE DELETE ON tag "
        "BEGIN SELECT RAISE(ABORT, 'a printed code stays known'); END"
    ),
}


def upgrade() -> None:
    op.create_table(
        "build",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("nr", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("layout", sa.String(), nullable=False),
        sa.Column("units", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build")),
        sa.UniqueConstraint("nr", name=op.f("uq_build_nr")),
    )
    op.create_table(
        "folder",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("epoch", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("port", sa.Integer(), nullable=False),
        sa.Column("demo", sa.Boolean(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_folder")),
    )
    op.create_table(
        "journal",
        sa.Column("seq", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=True),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("verb", sa.String(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("v", sa.Integer(), nullable=False),
        sa.Column("after", sa.JSON(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("phone_at", sa.String(), nullable=False),
        sa.Column("server_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_journal")),
        sa.UniqueConstraint("id", name=op.f("uq_journal_id")),
    )
    op.create_index(op.f("ix_journal_subject_seq"), "journal", ["subject", "seq"], unique=False)
    op.create_table(
        "pairing",
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("ends_at", sa.String(), nullable=False),
        sa.Column("spent_at", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_pairing")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
    )
    op.create_table(
        "printed_address",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("port", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", "port", name=op.f("pk_printed_address")),
    )
    op.create_table(
        "quarantine",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("decided", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quarantine")),
    )
    op.create_table(
        "receipt",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("body_sha", sa.String(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("answer", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipt")),
    )
    op.create_table(
        "sheet",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("nr", sa.Integer(), nullable=False),
        sa.Column("grid", sa.String(), nullable=False),
        sa.Column("halves", sa.Boolean(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("port", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sheet")),
        sa.UniqueConstraint("nr", name=op.f("uq_sheet_nr")),
    )
    op.create_table(
        "device",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("key_hash", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("seen_at", sa.String(), nullable=False),
        sa.Column("shut_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_device_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device")),
        sa.UniqueConstraint("key_hash", name=op.f("uq_device_key_hash")),
    )
    op.create_table(
        "item_state",
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("state", sa.JSON(), nullable=False),
        sa.Column("upto_seq", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_item_state_build_id_build")),
        sa.PrimaryKeyConstraint("subject", name=op.f("pk_item_state")),
    )
    op.create_index(op.f("ix_item_state_build_id"), "item_state", ["build_id"], unique=False)
    op.create_table(
        "photo",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("line_id", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_photo_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
    )
    op.create_index(op.f("ix_photo_build_id"), "photo", ["build_id"], unique=False)
    op.create_index(op.f("ix_photo_sha256"), "photo", ["sha256"], unique=False)
    op.create_table(
        "place",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("parent_id", sa.String(), nullable=True),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_place_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_place")),
    )
    op.create_index(op.f("ix_place_build_id"), "place", ["build_id"], unique=False)
    op.create_table(
        "step",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("height", sa.String(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("direction", sa.String(), nullable=False),
        sa.Column("cautions", sa.JSON(), nullable=False),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_step_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
    )
    op.create_index(op.f("ix_step_build_id_position"), "step", ["build_id", "position"], unique=False)
    op.create_table(
        "tag",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("sheet_id", sa.String(), nullable=True),
        sa.Column("subject", sa.String(), nullable=True),
        sa.Column("void_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["sheet_id"], ["sheet.id"], name=op.f("fk_tag_sheet_id_sheet")),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_tag")),
    )
    op.create_index(op.f("ix_tag_sheet_id"), "tag", ["sheet_id"], unique=False)
    op.create_index(op.f("ix_tag_subject"), "tag", ["subject"], unique=False)
    op.create_table(
        "zone",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("level", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_zone_build_id_build")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_zone")),
        sa.UniqueConstraint("build_id", "position", name=op.f("uq_zone_build_id_position")),
    )
    op.create_table(
        "item",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("build_id", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("step_id", sa.String(), nullable=True),
        sa.Column("zone_id", sa.String(), nullable=True),
        sa.Column("n", sa.Integer(), nullable=True),
        sa.Column("critical", sa.Boolean(), nullable=False),
        sa.Column("owner", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("detail", sa.JSON(), nullable=False),
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_item_build_id_build")),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_item_step_id_step")),
        sa.ForeignKeyConstraint(["zone_id"], ["zone.id"], name=op.f("fk_item_zone_id_zone")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_item")),
        sa.UniqueConstraint("build_id", "number", name=op.f("uq_item_build_id_number")),
    )
    op.create_index(op.f("ix_item_step_id"), "item", ["step_id"], unique=False)
    op.create_table(
        "shows",
        sa.Column("photo_id", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["photo_id"], ["photo.id"], name=op.f("fk_shows_photo_id_photo")),
        sa.PrimaryKeyConstraint("photo_id", "subject", name=op.f("pk_shows")),
    )
    op.create_index(op.f("ix_shows_subject"), "shows", ["subject"], unique=False)
    op.create_table(
        "edge",
        sa.Column("from_item", sa.String(), nullable=False),
        sa.Column("rel", sa.String(), nullable=False),
        sa.Column("to_item", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["from_item"], ["item.id"], name=op.f("fk_edge_from_item_item")),
        sa.ForeignKeyConstraint(["to_item"], ["item.id"], name=op.f("fk_edge_to_item_item")),
        sa.PrimaryKeyConstraint("from_item", "rel", "to_item", name=op.f("pk_edge")),
    )
    op.create_index(op.f("ix_edge_to_item"), "edge", ["to_item"], unique=False)
    for statement in TRIGGERS.values():
        op.execute(statement)


def downgrade() -> None:
    for name in TRIGGERS:
        op.execute(f"DROP TRIGGER {name}")
    op.drop_index(op.f("ix_edge_to_item"), table_name="edge")
    op.drop_table("edge")
    op.drop_index(op.f("ix_shows_subject"), table_name="shows")
    op.drop_table("shows")
    op.drop_index(op.f("ix_item_step_id"), table_name="item")
    op.drop_table("item")
    op.drop_table("zone")
    op.drop_index(op.f("ix_tag_subject"), table_name="tag")
    op.drop_index(op.f("ix_tag_sheet_id"), table_name="tag")
    op.drop_table("tag")
    op.drop_index(op.f("ix_step_build_id_position"), table_name="step")
    op.drop_table("step")
    op.drop_index(op.f("ix_place_build_id"), table_name="place")
    op.drop_table("place")
    op.drop_index(op.f("ix_photo_sha256"), table_name="photo")
    op.drop_index(op.f("ix_photo_build_id"), table_name="photo")
    op.drop_table("photo")
    op.drop_index(op.f("ix_item_state_build_id"), table_name="item_state")
    op.drop_table("item_state")
    op.drop_table("device")
    op.drop_table("sheet")
    op.drop_table("receipt")
    op.drop_table("quarantine")
    op.drop_table("printed_address")
    op.drop_table("person")
    op.drop_table("pairing")
    op.drop_index(op.f("ix_journal_subject_seq"), table_name="journal")
    op.drop_table("journal")
    op.drop_table("folder")
    op.drop_table("build")
