from dataclasses import replace
from datetime import date

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from app.core.money import Money
from app.core.procurement.outstanding import Outstanding
from app.core.procurement.to_get import GetLine
from app.core.wording.outstanding import arrived_text, everything_text, get_text, joined, terms_text

TODAY = date(2031, 5, 4)
BARE = Outstanding("a" * 32, "item:x", "get")
ORDERED = replace(
    BARE,
    what="head bolts",
    at_whom="the counter",
    since=date(2031, 5, 1),
    due=date(2031, 5, 9),
    price=Money(1250, "EUR"),
    count=10,
)
BOLTS = Item("x", 12, Kind.FASTENER, "Head bolts", detail=Fastener(thread="M10x1.5"))


def test_words_that_say_nothing_leave_no_dot() -> None:
    assert joined("", "a", "", "b") == "a · b"
    assert joined("", "") == ""


def test_of_what_is_outstanding_only_what_is_known_is_said() -> None:
    assert terms_text(BARE, TODAY) == ""
    assert terms_text(ORDERED, TODAY, "at the counter") == "at the counter · since 1 May · 12.50 EUR"


def test_a_page_that_came_too_late_is_told_all_that_is_written() -> None:
    assert everything_text(ORDERED, TODAY) == (
        "head bolts · the counter · 10 pieces · since 1 May · due 9 May · 12.50 EUR"
    )
    assert everything_text(replace(BARE, done_on=date(2031, 5, 2)), TODAY) == "1 piece · done 2 May"


def test_a_line_to_get_says_for_what_and_since_when_it_is_ordered() -> None:
    line = GetLine("x", "pieces", "head bolts", 10, 0, ORDERED)

    assert get_text(line, BOLTS, "Head bolts", TODAY) == (
        "for #12 Head bolts · M10x1.5 · ordered 1 May · due 9 May · 12.50 EUR"
    )
    assert (
        get_text(replace(line, outstanding=None), BOLTS, "Head bolts", TODAY)
        == "for #12 Head bolts · M10x1.5"
    )
    assert get_text(replace(line, outstanding=replace(ORDERED, since=None)), None, "", TODAY) == (
        "due 9 May · 12.50 EUR"
    )


def test_what_has_arrived_says_when_and_whether_it_has_no_use_any_more() -> None:
    arrived = replace(ORDERED, done_on=TODAY)
    line = GetLine("x", "pieces", "head bolts", 10, 0, arrived)

    assert arrived_text(line, TODAY) == "the counter · 12.50 EUR · 4 May"
    assert arrived_text(replace(line, needed=False), TODAY).endswith("4 May · fitted, or not needed any more")
