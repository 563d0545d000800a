"""How true a torque wrench may be, by its type and the torque."""

from datetime import date

import pytest

from app.core.torque.wrench_classes import (
    CLASSES,
    WrenchType,
    check_is_overdue,
    check_words,
    iso6789_deviation_nm,
    iso6789_share,
)


def test_the_band_is_six_percent_up_to_and_at_ten_newton_metres() -> None:
    assert iso6789_deviation_nm(10) == pytest.approx(0.6)
    assert iso6789_deviation_nm(10.01) == pytest.approx(0.4004)


@pytest.mark.parametrize(
    ("sort", "below", "above"),
    [(WrenchType.CLICK, 6, 4), (WrenchType.BEAM, 6, 6), (WrenchType.DIAL, 6, 4), (WrenchType.DIGITAL, 6, 4)],
)
def test_each_sort_has_its_own_class_of_iso_6789(sort: WrenchType, below: int, above: int) -> None:
    assert 100 * iso6789_share(8, sort) == pytest.approx(below)
    assert 100 * iso6789_share(50, sort) == pytest.approx(above)
    assert CLASSES[sort].source


def test_an_angle_gauge_has_no_class() -> None:
    with pytest.raises(ValueError, match="angle"):
        iso6789_share(50, WrenchType.ANGLE)


@pytest.mark.parametrize(
    ("checked", "is_overdue"), [(date(2030, 5, 4), False), (date(2030, 5, 3), True), (None, True)]
)
def test_a_check_is_overdue_after_twelve_months_or_without_one(
    checked: date | None,
    is_overdue: bool,
) -> None:
    today = date(2031, 5, 4)
    assert check_is_overdue(checked, today) is is_overdue
    assert bool(check_words(checked, today)) is is_overdue
