from app.core.items.items import Item, Part
from app.core.items.kinds import Act, Kind
from app.core.problem import Problem
from app.store.db.clock import new_id
from app.store.plan.engines import add_new_part, link_replacement
from tests.store.garage import NOW, Garage


def part(garage: Garage, name: str) -> str:
    item_id = new_id()
    garage.add(Item(item_id, 0, Kind.PART, name, garage.steps[0], garage.zones[0]), act=Act.OFF)
    return item_id


def new_part(garage: Garage, name: str) -> str:
    item = Item(new_id(), 0, Kind.PART, name, garage.steps[0], garage.zones[0], detail=Part())
    with garage.database.unit_of_work() as session:
        add_new_part(session, item, build_id=garage.build, writer=garage.writer, now=NOW)
    return item.id


def link(garage: Garage, old: str, others: set[str], *, moves: bool = False, rev: int = 0) -> Problem | None:
    build = garage.now()
    with garage.database.unit_of_work() as session:
        return link_replacement(
            session,
            build,
            old,
            others,
            moves=moves,
            rev=rev or build.entries[old].rev,
            writer=garage.writer,
            now=NOW,
        )


def edges(garage: Garage) -> set[tuple[str, str, str]]:
    return {(edge.frm, edge.rel, edge.to) for edge in garage.now().edges}


def test_something_new_is_open_from_the_start_and_never_came_off(garage: Garage) -> None:
    entry = garage.entry(new_part(garage, "Seal"))

    assert entry.is_open
    assert entry.state.off_seq == 0


def test_one_old_thing_is_replaced_by_exactly_those_last_named(garage: Garage) -> None:
    old, one, two = part(garage, "Pump"), new_part(garage, "Pump A"), new_part(garage, "Pump B")

    assert link(garage, old, {one, two}) is None
    assert edges(garage) == {(one, "replaces", old), (two, "replaces", old)}
    assert link(garage, old, {two}) is None
    assert edges(garage) == {(two, "replaces", old)}


def test_a_new_thing_that_is_let_go_by_one_old_keeps_the_other(garage: Garage) -> None:
    one, other, new = part(garage, "Hose 1"), part(garage, "Hose 2"), new_part(garage, "Hose")
    link(garage, one, {new})
    link(garage, other, {new})

    assert link(garage, one, set()) is None

    assert edges(garage) == {(new, "replaces", other)}


def test_what_moves_to_something_is_told_and_stands_in_the_journal(garage: Garage) -> None:
    old, new = part(garage, "Bracket"), new_part(garage, "Pump")

    assert link(garage, old, {new}, moves=True) is None

    assert edges(garage) == {(old, "moves_to", new)}
    assert garage.ask(
        "SELECT json_extract(body, '$.moves_to[0]') FROM journal WHERE verb = 'edit'"
        " ORDER BY seq DESC LIMIT 1"
    ) == [(new,)]


def test_from_a_stale_page_and_for_itself_nothing_is_written(garage: Garage) -> None:
    old, new = part(garage, "Pump"), new_part(garage, "Pump A")
    rows = garage.rows()

    stale, itself = link(garage, old, {new}, rev=99), link(garage, old, {old})

    assert stale is not None
    assert stale.code == "stale"
    assert itself is not None
    assert (itself.code, itself.where) == ("itself", "others")
    assert garage.rows() == rows


def test_two_that_replace_each_other_are_refused_at_the_field(garage: Garage) -> None:
    one, other = part(garage, "a"), part(garage, "b")
    assert link(garage, one, {other}) is None

    problem = link(garage, other, {one})

    assert problem is not None
    assert problem.where == "others"
    assert edges(garage) == {(other, "replaces", one)}
