"""Codes of lines are asked again only where something differs that they follow from."""

from dataclasses import replace

from app.core.gates.kept import KeptCodes
from app.core.items.kinds import Act, Kind
from tests.core.gates.ledgers import facts
from tests.core.ledger.standing import Stands, item, stands


class Asked:
    def __init__(self) -> None:
        self.ids: list[str] = []

    def __call__(self, line: Stands) -> str:
        self.ids.append(line.item.id)
        return f"why {line.item.id}"


def lines() -> tuple[Stands, Stands]:
    return stands(item(Kind.PART, "a"), Act.OFF), stands(item(Kind.PART, "b"), Act.OFF)


def test_a_line_that_is_the_same_is_not_asked_again() -> None:
    kept, asked, (a, b) = KeptCodes[Stands](), Asked(), lines()
    kept.codes("lift", ("x",), (a, b), asked)
    found = kept.codes("lift", ("x",), (a, other := replace(b)), asked)

    assert asked.ids == ["a", "b", "b"]
    assert found == ((a, "why a"), (other, "why b"))


def test_another_basis_or_another_gate_asks_about_all() -> None:
    kept, asked, both = KeptCodes[Stands](), Asked(), lines()
    for key, basis in (("lift", "x"), ("lift", "y"), ("start", "y")):
        kept.codes(key, (basis,), both, asked)

    assert asked.ids == ["a", "b"] * 3


def test_what_left_the_ledger_has_no_code() -> None:
    kept, asked, (a, b) = KeptCodes[Stands](), Asked(), lines()
    kept.codes("lift", ("x",), (a, b), asked)

    assert kept.codes("lift", ("x",), (b,), asked) == ((b, "why b"),)


def test_all_that_a_gate_is_told_is_part_of_the_basis() -> None:
    before = facts(*lines())
    assert before.basis == replace(before).basis
    for change in ({"lift": 3}, {"positions": {"s": 1}}):
        assert replace(before, **change).basis != before.basis
