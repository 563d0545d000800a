"""The sheet of values reached, as a page sends it."""

import json
import subprocess
from pathlib import Path

from app.web.torque.reached import in_words
from tests.web.conftest import Garage


def test_the_sheet_says_group_print_reached_wrench_and_who(garage: Garage, tmp_path: Path) -> None:
    item = garage.item("fastener", name="Cover bolts", n="2", torque="80 in-lb", torque_source="book, p. 9")
    tap = json.dumps(["clicked", "Small", "80", "lb·in", 1, ""])
    after = garage.state(item)["tips"]
    garage.owner.post(f"/i/{item}/line", verb="mark", act="tight", way=tap, after=after)
    answer = garage.onlooker.get("/b/1/torques/reached.pdf")
    (tmp_path / "p.pdf").write_bytes(answer.data)
    command = ["pdftotext", "-layout", str(tmp_path / "p.pdf"), "-"]
    text = " ".join(subprocess.run(command, check=True, capture_output=True, text=True).stdout.split())

    assert answer.mimetype == "application/pdf"
    for said in ("Cover bolts", "“80 in-lb”", "read as 80 lb·in (INCH", "book, p. 9", "Small", "Blue van"):
        assert said in text
    assert "clicked at 80 lb·in" in text


def test_pound_inches_are_said_in_words() -> None:
    assert in_words("clicked at 80 lb·in") == "clicked at 80 lb·in (INCH pounds)"
    assert in_words("25 lb·ft") == "25 lb·ft"
