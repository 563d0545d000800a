"""The option that names the folder of check values."""

from pathlib import Path

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--checks",
        metavar="DIR",
        type=Path,
        default=Path(__file__).parent / "checks",
        help="folder with the check values (same file names, same form); default: tests/checks",
    )
