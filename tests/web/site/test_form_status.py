"""What a refused form is answered with."""

import pytest

from app.core.problem import STALE, Problem
from app.web.site.form import status_of


@pytest.mark.parametrize("overtaken", [STALE, Problem("gone", "Gone."), Problem("more-open", "More.")])
def test_a_form_that_came_too_late_is_a_conflict_and_one_that_is_wrong_is_not(overtaken: Problem) -> None:
    wrong = Problem("name", "Say a name.", "name")
    assert (status_of(overtaken), status_of(wrong, overtaken)) == (409, 409)
    assert (status_of(wrong), status_of()) == (422, 422)
