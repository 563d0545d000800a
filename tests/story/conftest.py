from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from jinja2 import FileSystemBytecodeCache

from tests.story.builds import furnish
from tests.story.crew import Crew
from tests.story.mechanic import Thing

GetCrew = Callable[..., Crew]


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """What the templates are compiled to, once for all crews."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("templates")))


@pytest.fixture
def crew(tmp_path: Path, templates: FileSystemBytecodeCache) -> Iterator[GetCrew]:
    """Makes a crew with a build of which nothing is off."""
    made: list[Crew] = []

    def get(route: str, things: dict[str, Thing], *, another: bool = True) -> Crew:
        found = furnish(tmp_path / f"{len(made)}", route, things, another=another)
        made.append(Crew(found, route, templates))
        return made[-1]

    yield get
    for each in made:
        each.close()
