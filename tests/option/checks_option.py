"""The option that names the folder of check values, known to pytest before it looks for tests.

A plugin of its own, because pytest settles where it starts from before it reads a `conftest.py`: with a
folder from elsewhere behind the option, it would take that for the place of the tests.
"""

from pathlib import Path

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--checks",
        metavar="DIR",
        type=Path,
        help="folder with the check values (same file names, same form); default: tests/checks",
    )
