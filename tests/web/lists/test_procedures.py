"""Procedures as they are usually told, imported, and held against the order in which they are told back."""

import json
from pathlib import Path
from typing import Any

import pytest

from app.__main__ import main

CASES = json.loads((Path(__file__).parents[2] / "checks" / "procedures.json").read_text(encoding="utf-8"))[
    "cases"
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_computed_order_is_the_one_that_is_told(
    case: dict[str, Any], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "list.csv"
    file.write_text("\n".join(case["rows"]), encoding="utf-8")

    assert main(["import", str(file), "--data", str(tmp_path / "data")]) == 0, capfd.readouterr().err
    capfd.readouterr()
    assert main(["order", "--data", str(tmp_path / "data"), "--json"]) == 0
    lines = json.loads(capfd.readouterr().out)

    names = [line["name"] for line in lines]
    assert names == case["goes_back"]
    assert all(names.index(first) < n for n, line in enumerate(lines) for first in line["blocked_by"])
