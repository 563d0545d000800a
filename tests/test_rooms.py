import ast
import re
import sys
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.draw_rooms import PICTURE, draw

ROOT = Path(__file__).parents[1]
APP = ROOT / "app"
MAY_IMPORT = {
    "core": {"core"},
    "store": {"core", "store"},
    "vision": {"core", "store", "vision"},
    "paper": {"core", "store", "paper"},
    "web": {"core", "store", "vision", "paper", "web"},
}
BASE_FIRST = {
    "core": (
        *("problem", "ids", "numbers", "csv_lines", "days", "money", "us_uk", "cycles", "tags", "threads"),
        *(
            "items",
            "torque",
            "intake",
            "ledger",
            "tightening",
            "phases",
            "consistency",
            "gates",
            "procurement",
        ),
        *("order", "plan", "wording", "lists", "builds", "find", "checking"),
    ),
    "store": (
        *("db", "journal", "folder", "address", "crew", "tags", "plan", "procurement", "parts", "milestones"),
        *("loading", "snapshots", "gates", "returning", "intake", "lists", "rebuilding", "demo", "checking"),
    ),
    "web": (
        *(
            "site",
            "intake",
            "gates",
            "phases",
            "cards",
            "torque",
            "places",
            "takeoff",
            "lists",
            "cli",
            "server",
        ),
        *("builds", "putback", "procurement", "ledger", "bay", "factory"),
    ),
}
"""The packages of each room: each may import those before it, and itself."""
ONLY_THERE = {"flask": "web", "flask_wtf": "web", "wtforms": "web", "waitress": "web", "zeroconf": "web"} | {
    "reportlab": "paper",
    "zxingcpp": "vision",
    "alembic": "store",
}
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "app",
    "migrations",
    "seed_data",
    "static",
    "templates",
    "tests",
}
MADE_BY_TOOLS = {"uv.lock", "dist", "build"}


@cache
def imports_of(path: Path) -> tuple[str, ...]:
    return tuple(_imports_of(path))


def _imports_of(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports by dots"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def modules_of(room: str) -> list[Path]:
    return sorted((APP / room).rglob("*.py"))


def rooms_imported_by(path: Path) -> set[str]:
    return {name.split(".")[1] for name in imports_of(path) if name.startswith("app.")}


def libraries_imported_by(path: Path) -> set[str]:
    return {name.split(".")[0] for name in imports_of(path)} - {"app"}


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_imports_go_down_only(room: str) -> None:
    wrong = {
        str(path): found - MAY_IMPORT[room] for path in modules_of(room) if (found := rooms_imported_by(path))
    }

    assert modules_of(room)
    assert not {path: rooms for path, rooms in wrong.items() if rooms}


@pytest.mark.parametrize("room", BASE_FIRST)
def test_a_package_imports_only_those_before_it(room: str) -> None:
    place = {name: nth for nth, name in enumerate(BASE_FIRST[room])}
    wrong = [
        f"{path.relative_to(APP)} imports {name}"
        for path in modules_of(room)
        if path.name != "__init__.py"
        for name in imports_of(path)
        if name.startswith(f"app.{room}.")
        and place[name.split(".")[2]] > place[path.relative_to(APP / room).parts[0].removesuffix(".py")]
    ]
    assert not wrong


@pytest.mark.parametrize("room", BASE_FIRST)
def test_every_package_is_in_the_list(room: str) -> None:
    found = {path.relative_to(APP / room).parts[0].removesuffix(".py") for path in modules_of(room)}

    assert found - {"__init__"} == set(BASE_FIRST[room])


def test_the_picture_of_the_rooms_is_that_of_the_imports() -> None:
    assert PICTURE.read_text(encoding="utf-8") == draw(), "draw it again: python -m tests.draw_rooms"


def test_the_computing_needs_nothing_but_python_and_itself() -> None:
    for path in modules_of("core"):
        assert libraries_imported_by(path) <= set(sys.stdlib_module_names), path


def test_the_computing_reads_no_clock_no_chance_no_file_and_no_environment() -> None:
    for path in modules_of("core"):
        assert not libraries_imported_by(path) & {
            "os",
            "pathlib",
            "random",
            "secrets",
            "time",
            "uuid",
            "io",
            "socket",
        }, path
        calls = {
            ast.unparse(node.func)
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call)
        }
        assert not calls & {"open", "datetime.now", "datetime.utcnow", "date.today", "datetime.today"}, path


@pytest.mark.parametrize(("library", "room"), ONLY_THERE.items())
def test_a_library_is_known_in_one_room_only(library: str, room: str) -> None:
    rooms = {
        other for other in MAY_IMPORT for path in modules_of(other) if library in libraries_imported_by(path)
    }

    assert rooms <= {room}


def test_only_the_store_knows_what_kind_of_database_it_is() -> None:
    for path in [path for room in ("core", "web", "paper", "vision") for path in modules_of(room)]:
        assert "sqlite3" not in libraries_imported_by(path), path


def test_a_migration_imports_nothing_of_the_program() -> None:
    versions = sorted((ROOT / "migrations" / "versions").glob("*.py"))

    assert versions
    for path in versions:
        assert "app" not in {name.split(".")[0] for name in imports_of(path)}, path


def test_the_package_itself_is_a_docstring() -> None:
    for path in sorted(APP.rglob("__init__.py")):
        body = ast.parse(path.read_text(encoding="utf-8")).body

        assert len(body) == 1, path
        assert isinstance(body[0], ast.Expr), path


def test_the_top_level_holds_the_agreed_names_only() -> None:
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    assert found - MADE_BY_TOOLS <= TOP_LEVEL


def test_every_module_is_called_by_a_noun_of_the_work() -> None:
    names = {path.stem for folder in (APP, ROOT / "tests") for path in folder.rglob("*.py")}

    assert not names & {"utils", "util", "helpers", "helper", "common", "manager", "service", "misc"}


WITHOUT_OWN_TESTS = {
    "__main__.py": "started as a process by tests/test_starting.py",
    "core/problem.py": "a record without behaviour",
    "store/db/tables/": "tables without behaviour: tests/store/db/test_models.py",
}
"""Modules, and packages with a slash behind, without test modules of their own, each with what tests them."""
MOST_WITHOUT = 10


def test_every_module_has_a_test_module_of_its_name() -> None:
    modules = [path.relative_to(APP) for path in sorted(APP.rglob("*.py")) if path.name != "__init__.py"]
    missing = [
        f"tests/{module.parent.as_posix()}/test_{module.name} for app/{module.as_posix()}"
        for module in modules
        if not {module.as_posix(), f"{module.parent.as_posix()}/"} & WITHOUT_OWN_TESTS.keys()
        and not (ROOT / "tests" / module.parent / f"test_{module.name}").exists()
    ]

    assert not missing, "These are missing:\n" + "\n".join(missing)


def test_few_modules_are_without_a_test_module_and_each_is_there_and_needs_its_exception() -> None:
    assert len(WITHOUT_OWN_TESTS) <= MOST_WITHOUT
    for module in WITHOUT_OWN_TESTS:
        path = Path(module)
        assert (APP / path).exists(), f"app/{module} is gone: take it out of the exceptions"
        is_package = module.endswith("/")
        own = ROOT / "tests" / (path if is_package else path.parent / f"test_{path.name}")
        assert not own.exists(), f"{own.relative_to(ROOT)} is there now: take app/{module} out"


def test_a_test_module_named_after_no_module_of_its_package_tests_a_whole_behaviour() -> None:
    """Hold the reverse loosely: a renamed module must not leave its tests behind under the old name."""
    behaviours = {
        *("core/torque/test_bad_input.py", "core/torque/test_wordings.py"),
        *("store/plan/test_layouts.py", "store/rebuilding/test_upgrade.py"),
        *("web/cards/test_fluids.py", "web/lists/test_procedures.py", "web/takeoff/test_tags.py"),
        *("web/site/test_escaping.py", "web/site/test_forgery.py", "web/site/test_headers.py"),
        *("web/site/test_roles.py", "web/site/test_form_status.py", "web/site/test_rebuilt.py"),
        "store/lists/test_round_trip.py",
    }
    rooms = [ROOT / "tests" / room for room in MAY_IMPORT]
    tests = [path for room in rooms for path in sorted(room.rglob("test_*.py"))]
    nameless = {
        path.relative_to(ROOT / "tests").as_posix()
        for path in tests
        if not (APP / path.relative_to(ROOT / "tests").parent / path.name.removeprefix("test_")).exists()
    }

    assert nameless == behaviours


def test_no_two_tests_have_one_name() -> None:
    files = defaultdict(list)
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                files[node.name].append(path.relative_to(ROOT).as_posix())

    assert {name: where for name, where in files.items() if len(where) > 1} == {}


_SAID = re.compile(r"\{\{(.*?)\}\}|\{%-?\s*set (.*?)%\}", re.DOTALL)
STILL_CHOOSE = {
    "site/parts/forms.html": "macros that put a field's ids together",
    "gates/show.html": "what was typed stays in the field beside what is written down",
}
"""Templates in which an expression still chooses twice, each with why."""


def test_templates_show_and_neither_count_nor_choose_twice() -> None:
    found = [f"{name}: {said}" for name, said, counts in _heavy() if counts or name not in STILL_CHOOSE]

    assert not found, "Let the view say it:\n" + "\n".join(found)


def _heavy() -> Iterator[tuple[str, str, bool]]:
    """Yield what counts or chooses twice: the template, the expression, whether it counts."""
    for path in sorted((ROOT / "templates").rglob("*.html")):
        name = path.relative_to(ROOT / "templates").as_posix()
        for match in _SAID.finditer(path.read_text()):
            said = re.sub(r"'[^']*'", "''", match[1] or match[2])
            counts = bool(re.search(r"\s[-+*/]\s", said))
            if counts or len(re.findall(r"\bif\b", said)) > 1:
                yield name, match[0], counts


def test_few_templates_still_choose_and_each_needs_its_exception() -> None:
    assert len(STILL_CHOOSE) <= 5
    assert {name for name, _, _ in _heavy()} == STILL_CHOOSE.keys()
