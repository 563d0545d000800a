"""The database: the open file, its tables, migrations, the lock, the clock."""
