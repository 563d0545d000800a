from datetime import date

import pytest

from app.core.items.items import DESTINIES, DETAIL, Connection, Fastener, Item
from app.core.items.kinds import BESIDE, ITEM_KINDS, LADDER, Act, Kind
from app.core.ledger.ledger import Reason
from app.core.order.graph import Deviation
from app.core.order.ready import Held
from app.core.procurement.outstanding import Unavailable
from app.core.wording.items import act_text, item_title, pieces_text, reason_text, state_text
from app.core.wording.order import deviation_text, held_text, skips_text

HOSE = Item("1", 1, Kind.CONNECTION, detail=Connection("coolant hose"))
BOLTS = Item("1", 1, Kind.FASTENER, n=4, detail=Fastener())
CODES = [
    *["line-missing", "disagree", "undecided", "fate-unsaid", "piece-lost", "one-time-old", "no-figure"],
    *["second-look", "own-look", "not-done", "no-successor"],
]


@pytest.mark.parametrize("kind", ITEM_KINDS)
def test_every_act_of_a_kind_has_words_as_state_and_as_reason(kind: Kind) -> None:
    item = Item("1", 1, kind, detail=DETAIL[kind]())
    for act in (*LADDER[kind], *BESIDE[kind]):
        assert act_text(item, act) == state_text(item, act.value)
        assert "_" not in act_text(item, act)
        assert reason_text(item, Reason(act.value.replace("_", "-"), (1,))) == act_text(item, act)


@pytest.mark.parametrize("code", CODES)
def test_every_reason_has_a_sentence(code: str) -> None:
    assert " " in reason_text(BOLTS, Reason(code))


@pytest.mark.parametrize("word", ["on", "disagree", *sorted(set(DESTINIES) - {"refit", "transfer"})])
def test_every_state_word_has_text(word: str) -> None:
    assert "_" not in state_text(BOLTS, word)


def test_a_hose_is_clamped_and_a_plug_is_latched() -> None:
    plug = Item("1", 1, Kind.CONNECTION, detail=Connection("electrical connector"))

    assert (act_text(HOSE, Act.LATCHED), act_text(plug, "latched")) == ("clamped", "latched")


def test_a_reason_names_the_positions_where_not_all_are_meant() -> None:
    assert reason_text(BOLTS, Reason("hand-tight", (1, 3))) == "hand-tight (no. 1, no. 3 of 4)"
    assert reason_text(BOLTS, Reason("hand-tight", (1, 2, 3, 4))) == "hand-tight"


def test_an_item_without_a_name_is_called_by_its_kind() -> None:
    assert item_title(BOLTS) == "Fastener group, not described yet"
    assert item_title(Item("1", 1, Kind.PART, "starter")) == "starter"


def test_pieces_are_said_where_they_say_something() -> None:
    uncounted = Item("1", 1, Kind.FASTENER, detail=Fastener())

    assert (pieces_text(BOLTS), pieces_text(uncounted), pieces_text(HOSE)) == (
        "4 pieces",
        "not counted",
        "",
    )


HEADS = Item("h", 4, Kind.PART, "heads")
STARTER = Item("s", 12, Kind.PART, "starter")


@pytest.mark.parametrize(
    ("held", "other", "said"),
    [
        (
            Held("h", "waits", wait=Unavailable("away", "the machine shop", date(2031, 3, 12))),
            None,
            "waits for: heads at the machine shop, due 12 March",
        ),
        (Held("h", "waits", "s", Unavailable("away")), STARTER, "waits for: starter, in treatment"),
        (
            Held("h", "waits", wait=Unavailable("ordered", "the counter", date(2031, 12, 1), "head gasket")),
            None,
            "waits for: head gasket, ordered at the counter, due 1 December",
        ),
        (Held("h", "waits", wait=Unavailable("to get", what="studs")), None, "waits for: studs, to be got"),
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
