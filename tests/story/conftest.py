import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jinja2 import FileSystemBytecodeCache

from app.store.folder import open_folder
from tests.story.builds import Furnished, furnish
from tests.story.crew import Crew
from tests.story.demo import furnish_demo
from tests.story.mechanic import Thing
from tests.web.conftest import NOW

GetCrew = Callable[..., Crew]


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """What the templates are compiled to, once for all crews."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("templates")))


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder without a build, made once by the migrations."""
    path = tmp_path_factory.mktemp("empty") / "data"
    open_folder(path, now=NOW).close()
    return path


@pytest.fixture
def crew(tmp_path: Path, empty: Path, templates: FileSystemBytecodeCache) -> Iterator[GetCrew]:
    """Makes a crew with a build of which nothing is off."""
    made: list[Crew] = []

    def get(route: str, things: dict[str, Thing], **said: Any) -> Crew:
        path = Path(shutil.copytree(empty, tmp_path / f"{len(made)}"))
        found = furnish(path, route, things, **said)
        made.append(Crew(found, route, templates))
        return made[-1]

    yield get
    for each in made:
        each.close()


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Furnished:
    """The demo's folder with a crew, made once."""
    return furnish_demo(tmp_path_factory.mktemp("demo") / "data")


@pytest.fixture
def demo(
    tmp_path: Path, filled: Furnished, templates: FileSystemBytecodeCache
) -> Iterator[Callable[[str], Crew]]:
    """Makes a crew that finds the demo as it begins, and takes it a way."""
    made: list[Crew] = []

    def get(route: str) -> Crew:
        path = Path(shutil.copytree(filled.path, tmp_path / route))
        made.append(Crew(replace(filled, path=path), route, templates))
        return made[-1]

    yield get
    for each in made:
        each.close()
