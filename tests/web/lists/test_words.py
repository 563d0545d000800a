from app.core.problem import Problem
from app.store.lists.lists import Effect
from app.web.lists.words import effect_text, remark_text, shortened

NOTHING = Effect(items=0, renewals=0, steps=(), edited=(), zones=(), places=(), there=0)


def test_only_what_a_list_does_is_said() -> None:
    assert effect_text(NOTHING) == ["0 items, off in the order of the rows."]


def test_each_sort_of_thing_has_its_own_sentence() -> None:
    effect = Effect(
        items=1,
        renewals=2,
        steps=("Pump off", "Fill"),
        edited=("Drain",),
        zones=("Tank",),
        places=("bag 4",),
        there=3,
    )

    assert effect_text(effect) == [
        "1 item, off in the order of the rows.",
        "2 new for what is replaced, each in the place of the old one.",
        "New steps: Pump off, Fill.",
        "Steps changed: Drain.",
        "New zones: Tank.",
        "New places: bag 4.",
        "3 of the items are there already, by kind, name and step: now twice.",
    ]


def test_a_remark_stands_behind_its_line_and_column_where_it_has_one() -> None:
    assert remark_text([Problem("a", "Too long.", "line 3, name"), Problem("b", "Empty.")]) == [
        "line 3, name: Too long.",
        "Empty.",
    ]


def test_what_is_cut_off_is_counted() -> None:
    assert shortened("abc", 2) == (["a", "b"], 1)
    assert shortened("ab", 2) == (["a", "b"], 0)
