from datetime import date

import pytest

from app.core.items.items import Item
from app.core.items.kinds import Kind
from app.core.order.graph import Deviation
from app.core.order.ready import Held
from app.core.procurement.outstanding import Unavailable
from app.core.wording.order import deviation_text, held_text, skips_text, why_first_text

HEADS = Item("h", 4, Kind.PART, "heads")


STARTER = Item("s", 12, Kind.PART, "starter")


@pytest.mark.parametrize(
    ("held", "other", "said"),
    [
        (
            Held("h", "unavailable", unavailable=Unavailable("away", "the machine shop", date(2031, 3, 12))),
            None,
            "waits for: heads at the machine shop, due 12 March",
        ),
        (Held("h", "unavailable", "s", Unavailable("away")), STARTER, "waits for: starter, in treatment"),
        (
            Held(
                "h",
                "unavailable",
                unavailable=Unavailable("ordered", "the counter", date(2031, 12, 1), "head gasket"),
            ),
            None,
            "waits for: head gasket, ordered at the counter, due 1 December",
        ),
        (
            Held("h", "unavailable", unavailable=Unavailable("to get", what="studs")),
            None,
            "waits for: studs, to be got",
        ),
        (Held("h", "height", need="stands"), None, "needs the vehicle on stands"),
        (Held("h", "people", need="2"), None, "needs two people"),
        (Held("h", "people", need="9"), None, "needs 9 people"),
        (Held("h", "minutes", need="40", have="20"), None, "takes 40 minutes, you have 20"),
        (Held("h", "behind", "s"), STARTER, "behind: #12 starter"),
        (Held("h", "undecided"), None, "undecided"),
        (Held("h", "undecided", "s"), STARTER, "behind: #12 starter, undecided"),
        (Held("h", "disagree", "s"), STARTER, "behind: #12 starter, two people say different things"),
    ],
)
def test_the_reason_why_something_cannot_be_done_now_is_short(
    held: Held, other: Item | None, said: str
) -> None:
    assert held_text(HEADS, held, other, date(2031, 3, 1)) == said


@pytest.mark.parametrize(
    ("deviation", "said"),
    [
        (Deviation("h", "moved", "s", "covers"), "moved after starter because: it covers that"),
        (
            Deviation("h", "moved", "s", "stated", "no room"),
            "moved after starter because: no room",
        ),
        (
            Deviation("h", "later", "s", reason="at ride height"),
            "tightened later in step «starter»: at ride height",
        ),
    ],
)
def test_a_departure_from_the_reverse_is_said_with_its_reason(deviation: Deviation, said: str) -> None:
    assert deviation_text(deviation, "starter") == said


def test_what_is_skipped_is_counted_and_the_first_three_are_named() -> None:
    assert skips_text([STARTER]) == "skips 1 earlier: #12"
    step = Item("x", 0, Kind.STEP, "Fill")
    assert skips_text([STARTER, step, HEADS, HEADS]) == "skips 4 earlier: #12, «Fill», #4, …"


def test_what_waits_for_a_milestone_is_said_in_words() -> None:
    hose = Item("hose", 1, Kind.CONNECTION)
    said = held_text(hose, Held("hose", "milestone", "landed"), None, date(2026, 5, 1))
    assert said == "first: the engine landed, its weight on its mounts"


def test_why_another_thing_comes_first_is_said_short_or_in_the_users_words() -> None:
    assert why_first_text("covers") == "this hides it"
    assert why_first_text("stated:its bolt is behind it") == "its bolt is behind it"
    assert why_first_text("in-step") == ""
