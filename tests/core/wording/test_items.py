import pytest

from app.core.items.items import DESTINIES, DETAIL, Connection, Fastener, Item
from app.core.items.kinds import BESIDE, ITEM_KINDS, LADDER, Act, Kind
from app.core.ledger.ledger import Reason
from app.core.wording.items import act_text, item_title, pieces_text, reason_text, state_text

HOSE = Item("1", 1, Kind.CONNECTION, detail=Connection("coolant hose"))
BOLTS = Item("1", 1, Kind.FASTENER, n=4, detail=Fastener())
CODES = [
    *["line-missing", "disagree", "undecided", "fate-unsaid", "piece-lost", "one-time-old", "no-figure"],
    *["second-look", "own-look", "not-done", "no-successor", "unrecorded"],
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
