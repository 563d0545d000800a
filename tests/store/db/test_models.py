from pathlib import Path

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from app.store.db.database import migration_engine
from app.store.db.models import Base


def test_the_newest_tables_are_the_models(database_path: Path) -> None:
    with migration_engine(database_path).connect() as connection:
        differences = compare_metadata(MigrationContext.configure(connection), Base.metadata)

    assert differences == []
