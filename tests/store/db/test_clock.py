import re
from datetime import UTC, datetime, timedelta, timezone

from app.store.db.clock import new_id, stamp, utc_now


def test_a_moment_is_stored_in_utc_to_the_second_whatever_its_zone() -> None:
    noon = datetime(2031, 5, 4, 12, 0, 30, 999_999, tzinfo=timezone(timedelta(hours=2)))

    assert stamp(noon) == "2031-05-04T10:00:30Z"
    assert stamp(noon.astimezone(UTC)) == stamp(noon)


def test_stored_moments_sort_as_they_came_and_are_read_back() -> None:
    early, late = utc_now(), utc_now() + timedelta(days=400)

    assert stamp(early) < stamp(late)
    assert datetime.fromisoformat(stamp(early)) == early.replace(microsecond=0)


def test_ids_are_32_hexadecimal_digits_and_no_two_alike() -> None:
    ids = {new_id() for _ in range(1000)}

    assert len(ids) == 1000
    assert all(re.fullmatch("[0-9a-f]{32}", each) for each in ids)
