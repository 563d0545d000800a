"""`putback import`, `export` and `order` on real folders, most of them in this process."""

import csv
import io
import json
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy.exc import OperationalError

from app.__main__ import main
from app.core.lists.columns import TABLE
from app.store.demo.demo import fill_demo
from app.store.folder import DATABASE_FILE, open_folder
from app.web.cli.options import ListOptions, OptionError, read_command
from tests.running import free_port, refused, running

COLUMNS = tuple(column.name for column in TABLE.all if column.always)
NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
GOOD = "id,step,kind,name,torque,holds\na,Pump off,part,Pump,,\nb,Pump off,bolt,Pump bolts,22 N·m,a\n"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "data"


def written(tmp_path: Path, text: str | bytes, name: str = "blue van.csv") -> str:
    file = tmp_path / name
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    return str(file)


def ordered(data: Path, capfd: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    capfd.readouterr()
    assert main(["order", "--data", str(data), "--json"]) == 0
    found: list[dict[str, Any]] = json.loads(capfd.readouterr().out)
    return found


def exported(data: Path, capfd: pytest.CaptureFixture[str]) -> list[dict[str, str]]:
    capfd.readouterr()
    assert main(["export", "--data", str(data)]) == 0
    return list(csv.DictReader(io.StringIO(capfd.readouterr().out, newline="")))


def test_a_list_makes_the_folder_and_a_build_with_the_lists_own_steps(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", written(tmp_path, GOOD), "--data", str(data)]) == 0

    said = capfd.readouterr().out
    assert "build 1, «blue van», made now with the zones of «transverse»" in said
    assert "2 items" in said
    assert "New steps: Pump off." in said
    found = ordered(data, capfd)
    assert [(row.pop("id"), row.pop("stage"), row.pop("acts")) for row in found] == [
        ("a", "vehicle", [{"act": "placed", "place": 1}]),
        ("b", "vehicle", [{"act": "placed", "place": 2}, {"act": "tight", "place": 3}]),
    ]
    assert found == [
        {"name": "Pump", "kind": "part", "step": "Pump off", "act": "placed", "torque": "", "blocked_by": []},
        {
            "name": "Pump bolts", "kind": "fastener", "step": "Pump off", "act": "tight", "torque": "22 N·m",
            "blocked_by": ["Pump"],
        },
    ]  # fmt: skip


def test_the_order_is_printed_for_people_too(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    main(["import", written(tmp_path, GOOD), "--data", str(data)])
    capfd.readouterr()

    assert main(["--data", str(data), "order"]) == 0
    assert capfd.readouterr().out.splitlines() == [
        "   1  Pump · in position · Pump back on",
        "   2  Pump bolts · tight 22 N·m · Pump back on · after Pump",
    ]


def test_one_bad_row_leaves_nothing_behind(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    bad = GOOD.replace("22 N·m", "22") + "c,Pump off,hat,,,\n"

    assert main(["import", written(tmp_path, bad), "--data", str(data)]) == 1
    said = capfd.readouterr()
    assert "line 3, torque: The number 22 has no unit" in said.err
    assert "line 4, kind: «hat» is no kind" in said.err
    assert "nothing was written" in said.err
    assert said.out == ""
    assert not data.exists()


def test_a_folder_that_is_there_is_not_touched_by_a_bad_list(data: Path, tmp_path: Path) -> None:
    main(["import", written(tmp_path, GOOD), "--data", str(data)])
    before = (data / DATABASE_FILE).read_bytes()

    assert (
        main(["import", written(tmp_path, GOOD.replace("22 N·m", "22"), "2.csv"), "--data", str(data)]) == 1
    )
    assert (data / DATABASE_FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"PK\x03\x04rest of a workbook", "workbook"),
        (b"%PDF-1.4", "PDF"),
        (b"name,count\nx,1\n", "must name the columns"),
        (b"kind,name\npart,\x00\n", "NUL"),
        (b"kind,name\npart,\xc3\xbc\xc3\n", "cut in half"),
        ("kind,name\npart,Насос\n".encode("cp1251"), "a coding that is not known"),
        ("kind,name\npart,水泵总成\n".encode("gb18030"), "a coding that is not known|cut in half"),
        (bytes(range(256)), "control sign|NUL|cut in half|coding"),
    ],
)
def test_what_is_no_list_is_refused_in_a_sentence(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str], content: bytes, says: str
) -> None:
    assert main(["import", written(tmp_path, content), "--data", str(data)]) in {1, 2}

    said = capfd.readouterr().err
    assert any(word in said for word in says.split("|"))
    assert "Traceback" not in said
    assert not data.exists()


def test_a_file_that_is_not_there_and_a_folder_in_its_place_are_refused(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["import", str(tmp_path / "none.csv"), "--data", str(data)]) == 2
    assert main(["import", str(tmp_path), "--data", str(data)]) == 2
    assert capfd.readouterr().err.count("cannot be read") == 2
    assert not data.exists()


@pytest.mark.parametrize(
    "fault", [KeyboardInterrupt(), OperationalError("INSERT", {}, OSError("the disk is full"))]
)
def test_a_list_that_cannot_be_put_in_leaves_the_build_as_it_was(
    data: Path,
    tmp_path: Path,
    capfd: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    fault: BaseException,
) -> None:
    def fail(*_: object) -> None:
        raise fault

    main(["import", written(tmp_path, GOOD), "--data", str(data)])
    before = exported(data, capfd)
    monkeypatch.setattr("app.store.lists.lists._write_items", fail)

    more = written(tmp_path, "step,kind,name,zone,place\nNew,part,Another,Roof,crate\n", "more.csv")
    assert main(["import", more, "--data", str(data)]) == 2
    assert "nothing was written" in capfd.readouterr().err
    assert exported(data, capfd) == before


@pytest.mark.parametrize("what", ["order", "export"])
def test_reading_makes_no_folder(data: Path, capfd: pytest.CaptureFixture[str], what: str) -> None:
    assert main([what, "--data", str(data)]) == 2
    assert "holds no build" in capfd.readouterr().err
    assert not data.exists()


def test_the_layout_is_the_one_whose_zones_the_list_names_or_the_one_that_is_asked_for(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, "kind,name,zone\npart,A,valley\npart,B,Right bank\n")

    assert main(["import", file, "--data", str(tmp_path / "a")]) == 0
    assert "«longitudinal_v»" in capfd.readouterr().out
    assert main(["import", file, "--data", str(tmp_path / "b"), "--layout", "flat_rear"]) == 0
    said = capfd.readouterr().out
    assert "«flat_rear»" in said
    assert "New zones: valley, Right bank." in said


def test_with_several_builds_the_number_is_asked_for(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    main(["import", written(tmp_path, GOOD), "--data", str(data)])
    folder = open_folder(data, now=NOW)
    fill_demo(folder, now=NOW)
    folder.close()

    assert main(["order", "--data", str(data)]) == 2
    assert "--build N" in capfd.readouterr().err
    assert main(["order", "--data", str(data), "--build", "1"]) == 0
    assert main(["order", "--data", str(data), "--build", "7"]) == 2
    more = written(tmp_path, "kind,name\npart,Another\n", "more.csv")
    assert main(["import", more, "--data", str(data)]) == 2
    assert main(["import", more, "--data", str(data), "--build", "2"]) == 0
    assert main(["import", more, "--data", str(tmp_path / "new"), "--build", "2"]) == 2
    assert not (tmp_path / "new").exists()


def test_the_same_list_twice_is_refused(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, GOOD)

    assert main(["import", file, "--data", str(data)]) == 0
    assert main(["import", file, "--data", str(data)]) == 2
    assert "already" in capfd.readouterr().err
    assert len(ordered(data, capfd)) == 2


def test_a_formula_cell_comes_back_as_text_that_no_spreadsheet_runs(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    main(
        [
            "import",
            written(tmp_path, 'kind,name,note\npart,=HYPERLINK("x"),@y\n'.replace('"x"', "x")),
            "--data",
            str(data),
        ]
    )

    (row,) = exported(data, capfd)
    assert (row["name"], row["note"]) == ("'=HYPERLINK(x)", "'@y")


def test_the_demo_goes_through_a_list(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    folder = open_folder(tmp_path / "demo", now=NOW, demo=True)
    fill_demo(folder, now=NOW)
    folder.close()
    texts = []
    for name in ("demo", "second", "third"):
        capfd.readouterr()
        assert main(["export", "--data", str(tmp_path / name)]) == 0
        texts.append(capfd.readouterr().out)
        after = {"demo": "second", "second": "third"}.get(name)
        file = written(tmp_path, texts[-1], f"{name}.csv")
        assert after is None or main(["import", file, "--data", str(tmp_path / after)]) == 0, (
            capfd.readouterr().err
        )

    def names(text: str) -> Iterable[tuple[str, str, str]]:
        return [(r["step"], r["kind"], r["name"]) for r in csv.DictReader(io.StringIO(text, newline=""))]

    assert names(texts[0]) == names(texts[1])
    assert texts[1] == texts[2]
    used = {*COLUMNS, "torque_read_as", "threadlock", "owner", "system", "seals", "closes", "replaces"}
    assert texts[0].splitlines()[0].split(",") == [each.name for each in TABLE.all if each.name in used]


def test_beside_a_running_putback_a_list_is_refused_and_the_order_is_read(
    data: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, GOOD)
    assert main(["import", file, "--data", str(data)]) == 0

    with running("--data", str(data), "--port", str(free_port())):
        status, said = refused("import", file, "--data", str(data))
        assert (status, "in use by a Putback that runs already" in said) == (2, True)
        assert [line["name"] for line in ordered(data, capfd)] == ["Pump", "Pump bolts"]
        assert len(exported(data, capfd)) == 3


@pytest.mark.parametrize(
    "arguments",
    [
        ["import", "l.csv", "--data", "/d", "--build", "2"],
        ["--no-browser", "--data", "/d", "import", "--build", "2", "l.csv"],
    ],
)
def test_options_may_stand_before_and_after_the_file(arguments: list[str]) -> None:
    found = read_command(arguments)

    assert found == ListOptions(
        "import", Path("/d").absolute(), Path("l.csv").absolute(), 2, None, json=False
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ["import"],
        ["export", "x"],
        ["demo", "x"],
        ["--json"],
        ["order", "--build", "0"],
        ["order", "--build", "x"],
    ],
)
def test_options_that_do_not_go_together_are_refused(arguments: list[str]) -> None:
    with pytest.raises(OptionError):
        read_command(arguments)
