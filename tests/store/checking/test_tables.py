import pytest

from app.store.checking.tables import GUARDS
from tests.store.checking.conftest import Kept


def test_a_row_that_names_a_row_that_is_not_there_is_said_with_table_row_and_column(kept: Kept) -> None:
    kept.harm("UPDATE item SET step_id = 'gone' WHERE number = 1")

    assert kept.said() == [
        ("foreign-key", "table item, row 1", "Its step_id names the step gone, which is not there.")
    ]


def test_an_edge_to_an_item_that_is_not_there_is_found(kept: Kept) -> None:
    kept.harm("UPDATE edge SET to_item = 'gone'")

    ((code, where, message),) = kept.said()

    assert (code, where) == ("foreign-key", "table edge, row 1")
    assert "to_item names the item gone" in message


@pytest.mark.parametrize("guard", GUARDS)
def test_a_guard_that_is_gone_is_named(kept: Kept, guard: str) -> None:
    kept.harm()
    with kept.garage.database.unit_of_work() as session:
        session.connection().exec_driver_sql(f"DROP TRIGGER {guard}")

    ((code, where, message),) = kept.said()

    assert (code, where) == ("guard-missing", f"trigger {guard}")
    assert GUARDS[guard][1:] in message


@pytest.mark.parametrize(
    ("statement", "where"),
    [
        ("UPDATE journal SET after = '[' WHERE seq = 2", "table journal, row 2"),
        ("UPDATE item SET detail = 'x' WHERE number = 1", "table item, row "),
        ("UPDATE item_state SET state = ''", "table item_state, row item:"),
        ("UPDATE step SET cautions = '{]'", "table step, row "),
    ],
)
def test_a_cell_that_is_no_json_is_named_with_its_row(kept: Kept, statement: str, where: str) -> None:
    kept.harm(statement)

    said = kept.said()

    assert said[0][0] == "unreadable"
    assert said[0][1].startswith(where)


def test_an_index_that_does_not_fit_its_table_is_damage(kept: Kept) -> None:
    with kept.garage.database.unit_of_work() as session:
        raw = session.connection()
        raw.exec_driver_sql("PRAGMA writable_schema=ON")
        raw.exec_driver_sql(
            "UPDATE sqlite_master SET sql = replace(sql, '(step_id)', '(zone_id)')"
            " WHERE name = 'ix_item_step_id'"
        )
    kept.garage.database.close()

    codes = kept.codes()

    assert set(codes) == {"damaged", "not-looked-at"}
