import pytest

from app.core.builds.entry import Entry
from app.core.consistency.findings import LOOKED_BEFORE
from app.core.items.items import DETAIL, Fastener, Item
from app.core.items.journal import Line
from app.core.items.kinds import Act, Kind
from app.core.items.state import fold
from app.core.ledger.ledger import Reason, why_open, word


def line(verb: str, seq: int, **body: str) -> Line:
    return Line(f"l{seq}", "item:a", verb, body, frozenset({f"l{seq - 1}"} if seq > 1 else ()), seq=seq)


def entry(kind: Kind, *lines: Line) -> Entry:
    item = Item("a", 1, kind, "it") if kind is Kind.STEP else Item("a", 1, kind, "it", detail=DETAIL[kind]())
    state = fold(kind, item.positions, lines)
    return Entry(item, state, why_open(item, state), word(item, state))


OFF = line("mark", 1, act="off")


def test_the_journal_calls_a_step_a_step_and_everything_else_an_item() -> None:
    assert entry(Kind.STEP).subject == "step:a"
    assert entry(Kind.PART).subject == "item:a"


def test_what_nothing_happened_to_does_not_go_back_and_a_step_of_the_way_back_always_does() -> None:
    untouched, step = entry(Kind.PART), entry(Kind.STEP)

    assert (untouched.begun, untouched.goes_back) == (False, False)
    assert step.goes_back


@pytest.mark.parametrize(
    ("destiny", "back"),
    [("refit", True), ("transfer", True), ("undecided", True), ("left_out", False), ("replaced", False)],
)
def test_what_becomes_of_a_thing_says_whether_it_goes_back(destiny: str, *, back: bool) -> None:
    assert entry(Kind.PART, OFF, line("dispose", 2, destiny=destiny)).goes_back is back


def test_two_who_disagree_about_a_thing_keep_it_in_the_order() -> None:
    said = [
        Line(name, "item:a", "dispose", {"destiny": destiny}, frozenset({"l1"}), seq=seq)
        for seq, (name, destiny) in enumerate([("x", "left_out"), ("y", "replaced")], 2)
    ]

    assert entry(Kind.PART, OFF, *said).goes_back


def test_a_finding_stands_in_the_order_until_it_is_decided_and_never_goes_back() -> None:
    raised = entry(Kind.FINDING, line("mark", 1, act="raised"))

    assert raised.begun
    assert not raised.goes_back
    assert raised.thing.goes_back
    assert not entry(Kind.FINDING).thing.goes_back


def test_a_step_of_the_way_back_came_off_at_no_time() -> None:
    said_off = entry(Kind.STEP, OFF)

    assert said_off.off_seq == 0
    assert entry(Kind.PART, OFF).off_seq == OFF.seq


def test_a_thing_is_placed_from_the_rung_at_which_others_can_follow() -> None:
    assert not entry(Kind.PART, OFF).is_placed
    assert entry(Kind.PART, OFF, line("mark", 2, act=Act.PLACED.value)).is_placed
    assert not entry(Kind.PART, OFF, line("mark", 2, act=Act.PLACED.value)).is_open


def test_a_void_second_look_is_ahead_again_though_the_work_stands() -> None:
    looked = entry(Kind.PART, OFF, line("mark", 2, act="placed"))
    assert looked.progress.looked_at
    assert not looked.looks_again
    again = looked.with_found((Reason(LOOKED_BEFORE, (1,)),))
    assert again.looks_again
    assert not again.progress.looked_at
    assert again.with_found(()).progress == looked.progress


@pytest.mark.parametrize(
    ("code", "again"), [("one-time-old", True), ("out-of-band", True), ("no-figure", True), ("off", False)]
)
def test_what_only_tightening_closes_offers_that(code: str, *, again: bool) -> None:
    item = Item("a", 1, Kind.FASTENER, "it", n=1, detail=Fastener(torque="25 N·m"))
    state = fold(Kind.FASTENER, 1, [OFF, line("mark", 2, act="tight")])
    open_line = Entry(item, state, (Reason(code, (1,)),), "tight")
    assert open_line.tightens_again is again
    assert [rung.act for rung in open_line.rungs_ahead] == [Act.TIGHT] * again
