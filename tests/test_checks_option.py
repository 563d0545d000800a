"""The check values can be read from a folder anywhere, with the option written in either way."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.mark.parametrize("joined", [True, False])
def test_a_folder_outside_the_tree_is_read_instead_of_the_own_one(tmp_path: Path, *, joined: bool) -> None:
    shutil.copytree(
        ROOT / "tests" / "checks", tmp_path, dirs_exist_ok=True, ignore=lambda *_: ["__pycache__"]
    )
    (tmp_path / "test_contrast.py").unlink()
    cases = json.loads((tmp_path / "tightening_order.json").read_text(encoding="utf-8"))
    cases[0]["id"] = "only-in-this-folder"
    (tmp_path / "tightening_order.json").write_text(json.dumps(cases), encoding="utf-8")
    option = [f"--checks={tmp_path}"] if joined else ["--checks", str(tmp_path)]
    command = [sys.executable, "-m", "pytest", *option, "--collect-only", "-q", "-k", "only-in-this-folder"]
    told = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert "[only-in-this-folder]" in told.stdout, told.stdout[-400:] + told.stderr[-400:]
