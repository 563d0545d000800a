"""Run migrations on the connection that the program hands over, or on a database that a developer names."""

from pathlib import Path

from alembic import context
from alembic.util import CommandError
from sqlalchemy import Connection

from app.store.db.database import migration_engine
from app.store.db.models import Base


def run(connection: Connection) -> None:
    context.configure(connection=connection, target_metadata=Base.metadata, render_as_batch=True)
    with context.begin_transaction():
        context.run_migrations()


def named() -> Path:
    path = context.get_x_argument(as_dictionary=True).get("database")
    if path is None:
        raise CommandError("say which database: alembic -x database=/tmp/scratch.db ...")
    return Path(path)


handed_over = context.config.attributes.get("connection")
if handed_over is not None:
    run(handed_over)
else:
    with migration_engine(named()).begin() as own:
        run(own)
