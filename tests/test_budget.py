from pathlib import Path

import pytest

from tests.budget import BUDGET_S, TOGETHER, subject_of, table, times_of

ROOT = Path(__file__).parents[1]
REPORT = """<testsuites><testsuite>
<testcase classname="tests.core.order.test_graph" name="a" time="1.5"/>
<testcase classname="tests.core.order.test_ready" name="b" time="2.0"/>
<testcase classname="tests.core.test_days" name="c" time="0.25"/>
<testcase classname="tests.test_rooms" name="d" time="4"/>
</testsuite></testsuites>"""


@pytest.mark.parametrize(
    ("module", "subject"),
    [
        ("tests.core.order.test_graph", "core/order"),
        ("tests.core.test_days", "core"),
        ("tests.browser.test_story", "browser"),
        ("tests.test_rooms", "the whole"),
        ("tests.web.cli.test_lists.TestNothing", "web/cli"),
    ],
)
def test_a_test_belongs_to_the_subject_of_its_folder(module: str, subject: str) -> None:
    assert subject_of(module) == subject


def test_the_times_of_all_reports_are_added_by_subject(tmp_path: Path) -> None:
    reports = [tmp_path / "1.xml", tmp_path / "2.xml"]
    for report in reports:
        report.write_text(REPORT)

    assert times_of(reports) == {"core/order": 7.0, "core": 0.5, "the whole": 8.0}


def test_what_is_over_its_budget_and_what_has_none_is_shown() -> None:
    said = {
        row.split()[0]: row
        for row in table({"core/order": 1e4, "core": 0.1, "moon": 3}, load=0.1).splitlines()
    }

    assert said["core/order"].endswith("over")
    assert not said["core"].endswith("over")
    assert said["moon"].endswith("no budget yet")
    assert said["all"].endswith("over")


def test_a_busy_machine_is_said_and_a_quiet_one_is_not() -> None:
    assert "busy" in table({}, load=4)
    assert "busy" not in table({}, load=1)


def test_every_subject_with_tests_has_a_budget() -> None:
    subjects = {
        subject_of(".".join(path.relative_to(ROOT).with_suffix("").parts))
        for path in (ROOT / "tests").rglob("test_*.py")
    }

    assert subjects - BUDGET_S.keys() == set()


def test_the_budgets_fit_into_twelve_minutes() -> None:
    assert sum(BUDGET_S.values()) / TOGETHER <= 14 * 60
