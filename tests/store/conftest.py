import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.store.db.database import Database
from app.store.db.migrating import bring_up_to_date
from tests.store.garage import Garage, furnish


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty database, made once by the real migrations."""
    path = tmp_path_factory.mktemp("template") / "putback.db"
    bring_up_to_date(path, now=datetime(2031, 5, 4, 9, 30, tzinfo=UTC))
    return path


@pytest.fixture
def database_path(template: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(template, tmp_path / "putback.db"))


@pytest.fixture
def database(database_path: Path) -> Iterator[Database]:
    opened = Database(database_path)
    yield opened
    opened.close()


@pytest.fixture
def garage(database: Database) -> Garage:
    """An invented build with one person and one phone."""
    return furnish(database)
