import json
import random
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stdnum.iso7064 import mod_11_2, mod_11_10, mod_37_2, mod_37_36

from app.core.problem import Problem
from app.core.tags import (
    ALPHABET,
    Address,
    check_character,
    draw_code,
    is_code,
    is_host_name,
    neighbours,
    payload,
    read_payload,
    read_typed,
    shown,
)

CHECKS = json.loads((Path(__file__).parents[1] / "checks" / "codes_and_qr.json").read_text(encoding="utf-8"))
CODE_CHECKS = [case for case in CHECKS if not case["id"].startswith("qr-")]
SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"


def drawn(seed: int) -> str:
    return draw_code(random.Random(seed).choice)  # noqa: S311  # a test's draw is repeatable


codes = st.integers().map(drawn)


def one_wrong(code: str) -> list[str]:
    return [code[:at] + sign + code[at + 1 :] for at in range(7) for sign in SIGNS if sign != code[at]]


def swapped(code: str) -> list[str]:
    return [
        code[:at] + right + left + code[at + 2 :]
        for at, (left, right) in enumerate(pairwise(code))
        if left != right
    ]


@pytest.mark.parametrize("case", CODE_CHECKS, ids=lambda case: case["id"])
def test_published_check_characters_hold(case: dict[str, Any]) -> None:
    """The examples of other systems prove the reference library, which ours is compared with below."""
    name, inputs, expected = case["id"], case["inputs"], case["expected"]
    if name == "mod37_2-weighted-sum":
        assert check_character(inputs["payload"]) == SIGNS[(1 - expected) % 37]
    elif "payload" in inputs and name.startswith("mod37_2-"):
        assert check_character(inputs["payload"]) == expected
    elif "payload" in inputs:
        systems = {"mod37_36": mod_37_36, "mod11_2": mod_11_2, "mod11_10": mod_11_10}
        assert systems[name.partition("-")[0]].calc_check_digit(inputs["payload"]) == expected
    elif "trials" in inputs:
        slips, system = (
            name.partition("-")[2],
            {"mod37_36": mod_37_36, "mod37_2": mod_37_2}[name.partition("-")[0]],
        )
        undetected = {"single-substitution": one_wrong, "adjacent-transposition": swapped}[slips]
        payloads = [drawn(seed)[:6] for seed in range(300)]
        whole = [text + system.calc_check_digit(text) for text in payloads]
        assert sum(system.is_valid(slip) for code in whole for slip in undetected(code)) == expected
    elif "swapped" in inputs:
        code, other = inputs["code"], inputs["swapped"]
        assert (mod_37_36.is_valid(code) and mod_37_36.is_valid(other)) is expected
        ours = code[:6] + check_character(code[:6])
        at = inputs["swap_at"]
        assert check_character(ours[:at] + ours[at + 1] + ours[at] + ours[at + 2 : 6]) != ours[6]
    else:
        pytest.fail(f"no test knows the form of {name}")


@given(st.text(alphabet=SIGNS[:-1], min_size=1, max_size=20))
def test_the_check_character_is_the_reference_library_s(text: str) -> None:
    assert check_character(text) == mod_37_2.calc_check_digit(text)


@given(codes)
def test_a_drawn_code_is_valid_and_on_the_tags_alphabet(code: str) -> None:
    assert is_code(code)
    assert set(code) <= set(ALPHABET)
    assert mod_37_2.is_valid(code)


@settings(max_examples=50)
@given(codes)
def test_every_wrong_symbol_and_every_swap_of_neighbours_is_found(code: str) -> None:
    assert not any(is_code(slip) for slip in one_wrong(code) + swapped(code))


def test_a_draw_whose_check_character_is_off_the_alphabet_is_repeated() -> None:
    symbols = iter("22222P" + "7K3F9Q")
    assert check_character("22222P") not in ALPHABET
    assert draw_code(lambda _alphabet: next(symbols)) == "7K3F9QQ"


def test_a_code_is_shown_in_two_groups() -> None:
    assert shown("7K3F9QQ") == "7K3-F9QQ"


@pytest.mark.parametrize(
    "typed",
    [
        "7K3F9QQ",
        "7k3-f9qq",
        "  7K3 F9QQ ",
        "7K3–F9QQ",  # a dash that a phone's keyboard makes of a hyphen
        "7.K3F.9QQ",
        "7K3-F9QQ A",
        "7k3-f9qq/b",
        "http://GARAGE.LOCAL:8765/T/7K3F9QQ/A",
        "http://192.0.2.7/t/7k3f9qq",
    ],
)
def test_a_typed_code_is_read_however_it_is_written(typed: str) -> None:
    assert read_typed(typed) == "7K3F9QQ"


@pytest.mark.parametrize(
    ("typed", "problem", "words"),
    [
        ("", "code-empty", "seven symbols"),
        (" - ", "code-empty", "seven symbols"),
        ("7K3-F9OQ", "code-look-alike", "No tag carries O"),
        ("7K3-F90Q", "code-look-alike", "No tag carries 0"),
        ("1K3-F9QQ", "code-look-alike", "No tag carries 1"),
        ("7K3-FIQQ", "code-look-alike", "No tag carries I"),
        ("LK3-F9QQ", "code-look-alike", "No tag carries L"),
        ("UK3-F9QQ", "code-look-alike", "may be a V"),
        ("7K3-F9Q%", "code-sign", "“%” is on no tag"),
        ("7K3-F9Ω", "code-sign", "“Ω” is on no tag"),
        ("7K3-F9Q", "code-length", "6 were typed"),
        ("7K3-F9QQ2", "code-length", "8 were typed"),
        ("7K3-F9QR", "code-check", "no tag's code"),
        ("http://garage.local:8765/crew", "code-address", "not a tag's"),
        ("http://garage.local:8765/T/7K3F9QR", "code-check", "no tag's code"),
    ],
)
def test_a_wrong_typed_code_is_answered_with_its_own_sentence(typed: str, problem: str, words: str) -> None:
    answer = read_typed(typed)
    assert isinstance(answer, Problem)
    assert (answer.code, answer.where) == (problem, "code")
    assert words in answer.message


def test_neighbours_are_the_issued_codes_one_slip_away() -> None:
    issued = ["7K3F9QQ", "7K3F9QR", "ABCDEFG", "K73F9QQ", "7KF39QQ"]
    assert neighbours("7k3-f9oq", issued) == ("7K3F9QQ",)
    assert neighbours("7K3F9QQ", issued) == ("7K3F9QR", "7KF39QQ", "K73F9QQ")
    assert neighbours("7K3F9", issued) == ()


@settings(max_examples=50)
@given(codes, st.data())
def test_the_issued_code_is_a_neighbour_of_each_of_its_slips(code: str, data: st.DataObject) -> None:
    slip = data.draw(st.sampled_from(one_wrong(code) + swapped(code)).filter(lambda text: "*" not in text))
    assert neighbours(slip, [code]) == (code,)


def test_the_address_has_a_lower_case_scheme_and_capitals_behind_it() -> None:
    assert payload("garage", 8765, "7K3F9QQ", "A") == "http://GARAGE.LOCAL:8765/T/7K3F9QQ/A"
    assert payload("garage", 8765, "7K3F9QQ") == "http://GARAGE.LOCAL:8765/T/7K3F9QQ"


@pytest.mark.parametrize(
    ("name", "port", "code", "half"),
    [
        ("a garage", 8765, "7K3F9QQ", None),
        ("garage", 0, "7K3F9QQ", None),
        ("garage", 65536, "7K3F9QQ", None),
        ("garage", 8765, "7K3F9QR", None),
        ("garage", 8765, "7K3F9QQ", "a"),
        ("garage", 8765, "7K3F9QQ", "AB"),
        ("garage", 8765, "7K3F9QQ", ""),
    ],
)
def test_no_address_is_made_of_wrong_parts(name: str, port: int, code: str, half: str | None) -> None:
    with pytest.raises(ValueError, match="no tag address"):
        payload(name, port, code, half)


@given(codes, st.sampled_from([None, *"ABCXYZ"]), st.integers(1, 65535))
def test_what_is_printed_is_what_is_read(code: str, half: str | None, port: int) -> None:
    assert read_payload(payload("garage-2", port, code, half)) == Address(code, half)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("http://garage.local:8765/t/7k3f9qq/b", Address("7K3F9QQ", "B")),
        ("HTTPS://OTHER.LOCAL/T/7K3F9QQ", Address("7K3F9QQ")),
        ("http://192.0.2.7:9000/T/7K3F9QQ/", Address("7K3F9QQ")),
        ("http://garage.local:8765/T/7K3F9QR", None),
        ("http://garage.local:8765/T/7K3F9QQ/AB", None),
        ("http://garage.local:8765/T/7K3F9QQ/7", None),
        ("http://garage.local:8765/X/7K3F9QQ", None),
        ("http://garage.local:8765/T/7K3-F9QQ", None),
        ("7K3F9QQ", None),
        ("http://garage.local/T/7K3F9QQ/\u00c5", None),
        ("", None),
    ],
)
def test_only_the_tail_of_a_scanned_address_counts(text: str, expected: Address | None) -> None:
    assert read_payload(text) == expected


@pytest.mark.parametrize("name", ["g", "garage", "Shed-2", "a1234567890bc"])
def test_a_short_name_of_letters_digits_and_hyphens_can_be_printed(name: str) -> None:
    assert is_host_name(name)


@pytest.mark.parametrize(
    "name",
    ["", "-shed", "shed-", "my shed", "shed.local", "shéd", "a1234567890bcd", "shed_2", "ſhed", "shed\n"],
)
def test_another_name_cannot_be_printed(name: str) -> None:
    assert not is_host_name(name)
