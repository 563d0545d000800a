"""A build as it stands is read from a real folder here too."""

from tests.store.conftest import database, database_path, garage, template

__all__ = ["database", "database_path", "garage", "template"]
