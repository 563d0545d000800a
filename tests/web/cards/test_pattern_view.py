"""A group's drawing on the card: no two bolts touch, no word lies upon a bolt or beyond the edge."""

from itertools import combinations
from math import dist

import pytest

from app.core.items.items import Fastener, Item
from app.core.items.kinds import Kind
from app.core.items.state import fold
from app.web.cards.pattern_view import PatternView, pattern_view

HEAD = 19
"""The radius of a bolt in the drawing."""
WORD = 8
"""Half the height of what stands beside it."""

SCATTERED = "0,0;60,5;120,0;180,8;240,0;300,10;360,0;360,80;300,90;240,80;180,92;120,80;60,88;0,80"
GROUPS = {
    "a circle of 6": (6, Fastener(pattern="circle")),
    "a circle of 20": (20, Fastener(pattern="circle")),
    "a head of 2 x 8": (16, Fastener(pattern="two rows", lengths="1-8: 90; 9-16: 110")),
    "three rows": (12, Fastener(pattern="rectangle", rows=3)),
    "a line of 12": (12, Fastener(pattern="line")),
    "fourteen in their own order": (
        14,
        Fastener(pattern="own order", own_order="7 8 6 9 5 10 4 11 3 12 2 13 1 14", places_mm=SCATTERED),
    ),
}


def drawn(name: str) -> PatternView:
    bolts, group = GROUPS[name]
    found = pattern_view(Item("i", 1, Kind.FASTENER, n=bolts, detail=group), fold(Kind.FASTENER, bolts, ()))
    assert isinstance(found, PatternView)
    return found


@pytest.mark.parametrize("name", GROUPS)
def test_no_two_bolts_touch_and_no_word_lies_upon_one(name: str) -> None:
    pattern = drawn(name)
    for one, other in combinations(pattern.bolts, 2):
        assert dist((one.x, one.y), (other.x, other.y)) >= 2 * HEAD
    words = [(bolt, (bolt.x + bolt.at[0], bolt.y + bolt.at[1])) for bolt in pattern.bolts if bolt.beside]
    assert words
    for bolt, at in words:
        assert WORD < at[0] < pattern.width - WORD
        assert WORD < at[1] < pattern.height - WORD
        assert min(dist(at, (other.x, other.y)) for other in pattern.bolts) >= HEAD + WORD, bolt


def test_beside_a_bolt_stands_its_length_where_they_differ_else_its_hole() -> None:
    assert {bolt.beside for bolt in drawn("a head of 2 x 8").bolts} == {"90", "110"}
    circle = drawn("a circle of 6")
    assert all(bolt.beside == ("" if bolt.turn == bolt.number else f"{bolt.number}") for bolt in circle.bolts)
