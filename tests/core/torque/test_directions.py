"""Which way a printed turn or torque goes."""

import pytest

from tests.core.torque.printed import code, said


@pytest.mark.parametrize(
    ("tightened", "loosened"),
    [
        ("turn the nut a further 60°", "turn the nut back 60°"),
        ("turn it on 60°", "back it off 60 degrees"),
        ("um 60° weiterdrehen", "um 60° zurückdrehen"),
        ("um 1/6 Drehung", "um 1/6 Drehung lösen"),
        ("resserrer d'un sixième de tour", "desserrer d'un sixième de tour"),
        ("tourner de 60°", "revenir de 60°"),
        ("60° más", "60° atrás"),
        ("gire 60°", "afloje 60°"),
        ("avanzare di 60°", "allentare di 60°"),
        ("un sesto di giro oltre", "un sesto di giro indietro"),
        ("60° verder", "60° terug"),
        ("draai de moer 60° aan", "draai de moer 60° los"),
        ("aperte 60°", "desaperte 60°"),
        ("dra 60°", "lossa 60°"),
        ("vrid 60°", "vrid tillbaka 60°"),
        ("turn 60° clockwise", "turn 60° counter-clockwise"),
        ("turn one flat", "ease it off one flat"),
    ],
)
def test_a_turn_on_and_a_turn_back_are_told_apart_in_every_language(tightened: str, loosened: str) -> None:
    assert (said(tightened), said(loosened)) == ("60°", "loosen 60°")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("loosen to 30 N·m", "loosen-to"),
        ("back off to 10 N·m", "loosen-to"),
        ("Muttern auf 20 Nm nachlassen", "loosen-to"),
        ("afloje hasta 20 N·m", "loosen-to"),
        ("-90° then 45 N·m", "angle-sign"),
        ("– 60° + 33 N.m", "angle-sign"),
        ("33 N·m - 60°", "angle-sign"),
        ("tighten 1/4 turn back", "direction"),
        ("loosen and turn 90°", "direction"),
        ("turn left 90°", "direction"),
        ("come back, 25 N·m", "direction"),
        ("30 N·m, then a snarf turn", "turn-unread"),
        ("30 N·m, then turns", "turn-unread"),
    ],
)
def test_a_direction_that_is_not_sure_is_refused_with_its_reason(text: str, why: str) -> None:
    assert code(text) == why
