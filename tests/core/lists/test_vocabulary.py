import pytest

from app.core.items.kinds import Kind
from app.core.lists.listed import ListPlan
from app.core.lists.lists import read_list_text
from app.core.lists.vocabulary import KIND_WORDS, kind_named


def plan(*lines: str) -> ListPlan:
    found = read_list_text("\n".join(lines))
    assert isinstance(found, ListPlan), found
    return found


@pytest.mark.parametrize(
    ("said", "kind", "item_type"),
    [
        ("fastener group", Kind.FASTENER, ""),
        ("Fastener_Groups", Kind.FASTENER, ""),
        ("bolt group", Kind.FASTENER, ""),
        ("Bolts and nuts", Kind.FASTENER, ""),
        ("nut/washer", Kind.FASTENER, "nut"),
        ("hose clamps", Kind.FASTENER, "clamp"),
        ("electrical connector", Kind.CONNECTION, "electrical connector"),
        ("Vacuum hose", Kind.CONNECTION, "vacuum line"),
        ("oil line", Kind.CONNECTION, "oil or breather line"),
        ("heater hoses", Kind.CONNECTION, "coolant hose"),
        ("wiring harness", Kind.PART, ""),
        ("O-rings", Kind.PART, ""),
        ("dowel pin", Kind.LOCATOR, "dowel pin"),
        ("Engine oil", Kind.FLUID, "engine oil"),
        ("temporaries", Kind.TEMPORARY, ""),
        ("rags", Kind.TEMPORARY, "rag"),
    ],
)
def test_things_are_called_as_a_manual_calls_them(said: str, kind: Kind, item_type: str) -> None:
    assert kind_named(said) == (kind, item_type)


@pytest.mark.parametrize("said", ["", "hat", "group", "s", "cylinder", "/", " and "])
def test_a_word_that_means_no_kind_is_none(said: str) -> None:
    assert kind_named(said) is None


def test_every_kind_and_every_word_is_understood_alone_and_in_plural() -> None:
    words = {kind.value: kind for kind in Kind} | {word: kind for word, (kind, _) in KIND_WORDS.items()}
    for word, kind in words.items():
        for said in (word, f"{word}s", f"{word} group", word.replace(" ", "-").upper()):
            found = kind_named(said)
            assert found
            assert found[0] is kind, said


@pytest.mark.parametrize("said", ["yes", "Y", "TRUE", "1", "x", "X", "✓"])
def test_a_cross_a_tick_or_a_word_says_once_only(said: str) -> None:
    (item,) = plan("kind,name,one_time", f"bolt,B,{said}").items
    assert getattr(item.detail, "one_time", "") == "yes"


@pytest.mark.parametrize("said", ["no", "N", "false", "0", "reusable"])
def test_a_word_says_that_it_may_be_used_again(said: str) -> None:
    (item,) = plan("kind,name,one_time", f"bolt,B,{said}").items
    assert getattr(item.detail, "one_time", "") == "no"


@pytest.mark.parametrize(
    ("said", "destiny"),
    [
        ("", "refit"),
        ("as is", "refit"),
        ("transfer to the new engine", "transfer"),
        ("replaced by new", "replaced"),
        ("Leave out", "left_out"),
        ("Stays on the old engine", "stays_on_old"),
        ("-", "refit"),
    ],
)
def test_what_becomes_of_a_thing_is_said_in_words_of_the_trade(said: str, destiny: str) -> None:
    (item,) = plan("kind,name,disposition", f"part,P,{said}").items
    assert item.destiny == destiny


@pytest.mark.parametrize(
    ("height", "direction", "known"),
    [
        ("On axle stands", "Remove", ("stands", "off_only")),
        ("on the wheels", "install only", ("wheels", "on_only")),
        ("two-post lift", "two-way", ("lift", "both")),
        ("on a bench", "on_only", ("bench", "on_only")),
        ("n/a", "–", (None, None)),
    ],
)
def test_heights_and_directions_are_said_in_words_of_the_trade(
    height: str, direction: str, known: tuple[str | None, str | None]
) -> None:
    (step,) = plan("step,height,direction", f"Pump,{height},{direction}").steps
    assert (step.height, step.direction) == known
