from pathlib import Path

import pytest
from platformdirs import user_data_path

from app.web.cli.options import OptionError, Options, read_options


def test_without_options_the_folder_itself_knows_its_port_and_name() -> None:
    assert read_options([]) == Options(
        demo=False,
        data=user_data_path("putback", appauthor=False),
        port=None,
        host="0.0.0.0",  # noqa: S104 - compared, not listened on
        name=None,
        browser=True,
    )


def test_the_demo_never_shares_name_port_or_folder_with_a_real_build() -> None:
    demo, real = read_options(["demo"]), read_options([])

    assert demo.demo
    assert demo.data is None
    assert demo.port not in {None, real.port, 8765}
    assert demo.name not in {None, real.name, "garage"}


@pytest.mark.parametrize(
    "arguments",
    [
        ["demo", "--data", "/d", "--port", "9000", "--no-browser"],
        ["--data", "/d", "--port", "9000", "--no-browser", "demo"],
        ["--data", "/d", "demo", "--port=9000", "--no-browser"],
    ],
)
def test_options_may_stand_before_and_after_the_word_demo(arguments: list[str]) -> None:
    found = read_options(arguments)

    assert (found.demo, found.data, found.port, found.browser) == (True, Path("/d").absolute(), 9000, False)


@pytest.mark.parametrize(
    ("typed", "announced"),
    [("Bench", "bench"), ("bench.local", "bench"), ("a", "a"), ("13-letters-ok", "13-letters-ok")],
)
def test_a_name_is_kept_in_small_letters_without_its_ending(typed: str, announced: str) -> None:
    assert read_options(["--name", typed]).name == announced


@pytest.mark.parametrize("typed", ["fourteen-signs", "-bench", "bench-", "my bench", "a.b", "ſ"])
def test_a_name_that_no_phone_could_look_up_is_refused(typed: str) -> None:
    with pytest.raises(OptionError, match="cannot be announced"):
        read_options([f"--name={typed}"])
