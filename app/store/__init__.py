"""The data folder: database, journal, photo files. Only here is known that it is SQLite."""
