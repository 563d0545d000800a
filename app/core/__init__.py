"""Pure computing: functions and frozen dataclasses. No Flask, no SQLAlchemy, no files, no clock."""
