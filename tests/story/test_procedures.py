"""Imported procedures: the order on the way back breaks nothing that a manual's installation order needs."""

import csv
import json
import random
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from jinja2 import BytecodeCache

from app.__main__ import main
from app.store.crew import let_in
from app.store.folder import DATABASE_FILE, open_folder
from app.web.factory import create_app
from tests.story.crew import ENGINE_PAGE
from tests.story.phones import Phone
from tests.web.conftest import NOW, NUMBER, START_KEY

PROCEDURES = Path(__file__).parent / "procedures"
NAMES = sorted(file.stem for file in PROCEDURES.glob("*.json"))
OUT_OF_THE_VEHICLE = ("hook_up", "rise", "set_down")
Act = Mapping[str, Any]
"""An act with its place in the order."""


@dataclass(frozen=True)
class Procedure:
    """A list in the order of taking off, and what the manual's installation order needs.

    Args:
        file: The list.
        said: What the owner says of it, and the manual: see the files.
        names: Of each row that is a thing, by its id.
    """

    file: Path
    said: Mapping[str, Any]
    names: Mapping[str, str]

    def broken(self, acts: Mapping[str, Sequence[Act]], *which: str) -> list[str]:
        """Return which pairs an order breaks, by the acts of each thing.

        Of the first of a pair all work is done, of the second none is begun; `x:on` is its being in position,
        `x:done` its last work, `x:looked` the second look.

        Args:
            acts: By thing.
            which: `told` are pairs that follow from what the list, the route and the roles of the steps say;
                `necessary` are those for which the order of the rows is needed.
        """
        found = []
        for first, then, why in (pair for each in which for pair in self.said[each]):
            if _place(acts, first, "done") >= _place(acts, then, "on"):
                found.append(f"{first} before {then}: {why}")
        return found

    def shuffled(self, seed: int) -> str:
        """Return the list with its steps, or the rows in each step, in another order; as it is for 0."""
        heading, *rows = self.file.read_text(encoding="utf-8").splitlines()
        steps = [list(own) for _, own in groupby(rows, lambda row: row.split(",")[1])]
        chance = random.Random(seed)  # noqa: S311 - a shuffle
        if seed % 2:
            chance.shuffle(steps)
        elif seed:
            for step in steps:
                chance.shuffle(step)
        return "\n".join((heading, *(row for step in steps for row in step)))


def _place(acts: Mapping[str, Sequence[Act]], said: str, unsaid: str) -> int:
    thing, _, which = said.partition(":")
    own = acts[thing]
    work = [act for act in own if act["act"] != "checked"]
    found = {"on": work[0], "done": work[-1], "looked": own[-1]}[which or unsaid]
    place: int = found["place"]
    return place


def procedure(name: str) -> Procedure:
    file = PROCEDURES / f"{name}.csv"
    said = json.loads(file.with_suffix(".json").read_text(encoding="utf-8"))
    rows = csv.DictReader(file.read_text(encoding="utf-8").splitlines())
    return Procedure(file, said, {row["id"]: row["name"] for row in rows if row["id"]})


@pytest.fixture
def owner(request: pytest.FixtureRequest, tmp_path: Path, templates: BytecodeCache) -> Iterator[Phone]:
    """The owner's phone on a folder into which a list was put by the product's own command."""
    name, seed = request.param
    (tmp_path / "list.csv").write_text(procedure(name).shuffled(seed), encoding="utf-8")
    assert main(["import", str(tmp_path / "list.csv"), "--data", str(tmp_path / "data")]) == 0
    folder = open_folder(tmp_path / "data", now=NOW)
    with folder.database.unit_of_work() as session:
        device, key = let_in(session, name="Olive", label="a phone", role="owner", now=NOW)
    app = create_app(folder, port=8765, start_key=START_KEY, addresses=lambda: (NUMBER,), demo=False)
    app.jinja_env.bytecode_cache = templates
    yield Phone(app, folder, key, person=device.person_id)
    folder.close()


def choose_route(phone: Phone, said: Mapping[str, Any]) -> None:
    form = phone.page("/b/1/route").form(old_name="")
    chosen = {"out": said["out"], "back": said["back"], "gearbox": "yes"}
    chosen["new_engine"] = "yes" if said["new_engine"] else "no"
    form.fields += chosen.items()
    phone.submit(form)


def give_roles(phone: Phone, roles: Mapping[str, str]) -> None:
    with closing(sqlite3.connect(phone.folder.path / DATABASE_FILE)) as database:
        steps: dict[str, str] = dict(database.execute("SELECT name, id FROM step"))
    for name, role in roles.items():
        phone.submit(phone.page(f"/steps/{steps[name]}").form(name=name), role=role)


def told(phone: Phone, name: str) -> Procedure:
    """Say the route and the roles of a list that was imported, and return what its manual says."""
    asked = procedure(name)
    choose_route(phone, asked.said)
    give_roles(phone, asked.said["roles"])
    return asked


def take_engine_out(phone: Phone) -> None:
    for verb in OUT_OF_THE_VEHICLE:
        phone.submit(phone.page(ENGINE_PAGE).form(verb=verb))


def order_of(path: Path, asked: Procedure, capfd: pytest.CaptureFixture[str]) -> dict[str, list[Act]]:
    """Return the acts of `order --json` by row; what is made new stands for the row that it replaces."""
    capfd.readouterr()
    assert main(["order", "--data", str(path), "--json"]) == 0
    rows = {name: key for key, name in asked.names.items()}
    lines = json.loads(capfd.readouterr().out)
    return {rows.get(line["name"], line["name"]): line["acts"] for line in lines}


@pytest.mark.parametrize("name", NAMES)
def test_the_manuals_own_order_breaks_no_necessary_pair(name: str) -> None:
    asked = procedure(name)
    acts: dict[str, list[Act]] = {}
    for place, said in enumerate(asked.said["manual"]):
        acts.setdefault(said.partition(":")[0], []).append({"act": "work", "place": place})
    assert asked.broken(acts, "necessary", "told") == []
    assert asked.names.keys() <= acts.keys()


@pytest.mark.parametrize(("owner", "name"), [((name, 0), name) for name in NAMES], indirect=["owner"])
def test_the_order_of_an_imported_list_breaks_no_necessary_pair(
    owner: Phone, name: str, capfd: pytest.CaptureFixture[str]
) -> None:
    asked = told(owner, name)
    take_engine_out(owner)

    assert asked.broken(order_of(owner.folder.path, asked, capfd), "necessary", "told") == []


@pytest.mark.parametrize(
    ("owner", "name"), [((name, seed), name) for name in NAMES for seed in (1, 2)], indirect=["owner"]
)
def test_what_a_list_says_holds_in_whatever_order_its_rows_stand(
    owner: Phone, name: str, capfd: pytest.CaptureFixture[str]
) -> None:
    asked = told(owner, name)

    assert asked.broken(order_of(owner.folder.path, asked, capfd), "told") == []
