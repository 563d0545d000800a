from app.core.builds.snapshot import Entry
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.store.journal import last_seq
from app.store.lists.lists import Effect, effect_of, write_list
from app.store.loading import load
from tests.store.garage import NOW, Garage


def read(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


def take(garage: Garage, *lines: str) -> Effect:
    """Put a list into the garage's build, and say what that did."""
    plan = read(*lines)
    with garage.database.unit_of_work() as session:
        build = load(session, 1, last_seq(session))
        assert build
        effect = effect_of(build, plan)
        line = garage.writer.line(f"build:{build.id}", "edit", {"list": effect.items})
        write_list(session, build, plan, line, writer=garage.writer, now=NOW)
    return effect


def named(garage: Garage, name: str) -> Entry:
    return next(entry for entry in garage.now().items if entry.item.name == name)


def test_places_nest_and_stand_where_their_lines_say(garage: Garage) -> None:
    effect = take(
        garage, "kind,name,place", "bolt,B,bag 1 → crate → shelf", "bolt,C,bag 2 → crate", "part,D,crate"
    )
    build = garage.now()

    assert effect.places == ("shelf", "crate → shelf", "bag 1 → crate → shelf", "bag 2 → crate")
    assert build.place_path(named(garage, "B").state.place.value) == ("bag 1", "crate", "shelf")
    assert build.place_path(named(garage, "C").state.place.value) == ("bag 2", "crate", "shelf")
    assert build.place_path(named(garage, "D").state.place.value) == ("crate", "shelf")
    assert len(build.places) == 4
    assert take(garage, "kind,name,place", "bolt,E,bag 1").places == ()


def test_zones_are_found_by_key_and_by_either_sides_word_and_made_otherwise(garage: Garage) -> None:
    effect = take(
        garage, "kind,name,zone", "part,A,fender_left", "part,B,left INNER wing", "part,C,Left inner fender",
        "part,D,roof", "part,E,Roof", "part,F,cellar (below)",
    )  # fmt: skip
    build = garage.now()
    zones = [build.zone[named(garage, name).item.zone] for name in "ABCDEF"]

    assert effect.zones == ("roof", "cellar")
    assert [zone.key for zone in zones[:3]] == ["fender_left"] * 3
    assert [(zone.label, zone.level) for zone in zones[3:]] == [
        ("roof", "above"), ("roof", "above"), ("cellar", "below"),
    ]  # fmt: skip
