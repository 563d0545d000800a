"""The pieces of a printed torque, settled by what stands beside them."""

import pytest

from tests.core.torque.printed import said


@pytest.mark.parametrize(
    "label",
    [
        "",
        *(
            "Step {n}: ",
            "Stage {n} - ",
            "Stufe {n}: ",
            "{n}. Stufe ",
            "Phase {n} = ",
            "STEP {n}\n",
            "Step #{n}: ",
        ),
        *(
            "{n}. ",
            "{n}) ",
            "({n}) ",
            "{n}: ",
            "({a}) ",
            "{a}) ",
            "{a}. ",
            "{o}: ",
            "{o} ",
            "Stage {r}: ",
            "• ",
        ),
        "Step {n}: Tighten all bolts to ",
    ],
)
def test_stages_are_numbered_and_joined_in_any_usual_way(label: str) -> None:
    stages = ("20 ±2 Nm (15 lb-ft)", "30-40 Nm", "90°", "1/4 turn")
    marks = zip("1234", "abcd", ("1st", "2nd", "3rd", "4th"), ("I", "II", "III", "IV"), stages, strict=True)
    parts = [label.format(n=n, a=a, o=o, r=r) + stage for n, a, o, r, stage in marks]
    for join in (", ", "; ", " + ", ", then ", "\n", " → ", ". ", " followed by ", " plus "):
        assert said(join.join(parts)) == "20 ±2 N·m (15 lb·ft); 30–40 N·m; 90°; 90°", join
