"""What the README counts up is what the program declares."""

import re
from pathlib import Path

import pytest

from app.core.lists import columns
from app.web.cli.options import CHECK_COMMAND, LIST_COMMANDS, read_command

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
OF_A_LIST = frozenset({"--build", "--layout", "--json"})
OF_UV = frozenset({"--no-dev"})


def listed_columns() -> list[str]:
    found = re.search(r"^The columns, [^:]*: `([^`]+)`", README, re.MULTILINE)
    assert found
    return re.split(r",\s+", found[1])


def test_the_columns_of_a_list_are_those_that_are_declared() -> None:
    assert sorted(listed_columns()) == sorted(columns.TABLE.names)


def test_the_columns_that_an_export_leaves_out_where_they_are_empty_are_the_last_thirteen() -> None:
    only_filled = {name for name, column in columns.TABLE.named.items() if not column.always}

    assert "The last thirteen stand in an export only where a row fills them." in README
    assert set(listed_columns()[-13:]) == only_filled


def test_the_commands_are_those_that_are_declared() -> None:
    said = set(re.findall(r"--no-dev putback ([a-z]+)", README))

    assert said == {"demo", *LIST_COMMANDS, CHECK_COMMAND}


def test_the_options_are_those_that_are_declared_and_the_table_has_those_of_a_start(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        read_command(["--help"])
    declared = set(re.findall(r"^  (--[a-z-]+)", capsys.readouterr().out, re.MULTILINE))
    in_table = set(re.findall(r"^\| `(--[a-z-]+)", README, re.MULTILINE))
    told = set(re.findall(r"(?<![a-z-])--[a-z][a-z-]+", README)) - OF_UV

    assert told == declared
    assert in_table == declared - OF_A_LIST
