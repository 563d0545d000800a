import pytest

from app.core.wording.counts import counted


@pytest.mark.parametrize(("n", "said"), [(0, "0 pieces"), (1, "1 piece"), (2, "2 pieces"), (21, "21 pieces")])
def test_only_a_single_one_has_the_word_for_one(n: int, said: str) -> None:
    assert counted(n, "piece") == said


def test_a_word_that_takes_no_s_says_its_other_form() -> None:
    assert counted(1, "entry", "entries") == "1 entry"
    assert counted(3, "entry", "entries") == "3 entries"
