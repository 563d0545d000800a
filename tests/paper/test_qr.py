import json
from pathlib import Path
from typing import Any

import pytest

from app.core.problem import Problem
from app.core.tags import payload
from app.paper.qr import QUIET_MODULES, dots_to_mm, module_mm, qr_matrix, runs, square_mm, too_small

CHECKS = json.loads((Path(__file__).parents[1] / "checks" / "codes_and_qr.json").read_text(encoding="utf-8"))
QR_CHECKS = [case for case in CHECKS if case["id"].startswith("qr-")]


def version(modules: int) -> int:
    return (modules - 17) // 4


@pytest.mark.parametrize("case", QR_CHECKS, ids=lambda case: case["id"])
def test_published_capacities_and_sizes_hold(case: dict[str, Any]) -> None:
    inputs, expected, tolerance = case["inputs"], case["expected"], case["tolerance"]
    if inputs.keys() == {"version", "level", "mode"} and inputs["mode"] == "alphanumeric":
        fullest, fuller = (qr_matrix("A" * length, inputs["level"]) for length in (expected, expected + 1))
        assert version(len(fullest)) == inputs["version"]
        assert version(len(fuller)) == inputs["version"] + 1
    elif inputs.keys() == {"version"}:
        # 2,350 signs at level Q need version 40, the largest.
        matrix = qr_matrix("A" * 2350)
        assert version(len(matrix)) == inputs["version"]
        assert len(matrix) + 2 * QUIET_MODULES == expected
    elif inputs.keys() == {"dpi", "dots_per_mm", "dots"}:
        assert dots_to_mm(inputs["dots"], inputs["dots_per_mm"] * 25.4) == pytest.approx(
            expected, abs=tolerance
        )
    elif inputs.keys() == {"version", "module_mm"}:
        dpi = round(4 * 25.4 / inputs["module_mm"])
        modules = 17 + 4 * inputs["version"]
        assert square_mm(modules, dpi, quiet=False) == pytest.approx(expected, abs=0.02)
        assert square_mm(modules, dpi, quiet=True) == pytest.approx(16.5, abs=0.03)
    else:
        pytest.fail(f"no test knows the form of {case['id']}")


@pytest.mark.parametrize("letters", range(1, 14))
@pytest.mark.parametrize("half", [None, "A"])
def test_a_tag_of_any_name_is_version_3(letters: int, half: str | None) -> None:
    assert len(qr_matrix(payload("m" * letters, 8765, "7K3F9QQ", half))) == 29


def test_the_strokes_cover_the_black_modules_and_no_others() -> None:
    matrix = qr_matrix("http://GARAGE.LOCAL:8765/T/7K3F9QQ")
    painted = {(row, column + step) for row, column, length in runs(matrix) for step in range(length)}
    assert painted == {(y, x) for y, row in enumerate(matrix) for x, black in enumerate(row) if black}


@pytest.mark.parametrize(("dpi", "dots"), [(203, 4), (300, 6), (600, 12), (1200, 24)])
def test_a_module_is_half_a_millimetre_in_whole_dots(dpi: int, dots: int) -> None:
    assert module_mm(dpi) == pytest.approx(dots * 25.4 / dpi)
    assert module_mm(dpi) == pytest.approx(0.5, abs=0.01)


def test_a_square_that_does_not_fit_is_answered_with_the_room_it_needs() -> None:
    answer = too_small(29, 44.5, 12.7, 300)
    assert isinstance(answer, Problem)
    assert answer.code == "label-too-small"
    assert "44.5 × 12.7 mm" in answer.message
    assert "32.8 × 18.8 mm" in answer.message
    assert "text only" in answer.message


def test_the_label_s_blank_margin_serves_as_the_square_s_border() -> None:
    side = square_mm(29, 300, quiet=True)
    assert too_small(29, side + 14.1, side + 0.01, 300) is None
    assert too_small(29, side + 14.1, side - 0.01, 300) is not None
    assert too_small(29, side + 13.9, side + 0.01, 300) is not None
