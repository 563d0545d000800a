"""Putback: take an engine out with a phone in the hand, and put every item back.

The rooms, and what each may import (only downward):

* `web`: the Flask application, the server and the start-up. Imports `paper`, `vision`, `store`, `core`.
* `paper`: PDF sheets. Imports `store`, `core`.
* `vision`: tags in photographs. Imports `store`, `core`.
* `store`: the data folder: database, journal, photo files. Imports `core`.
* `core`: pure computing: no Flask, no SQLAlchemy, no files, no clock.
"""
