import pytest

from app.core.items.roles import NEEDED, Role
from app.core.wording.roles import ROLE_CHOICES, ROLE_WORDS, missing_text


def test_every_role_can_be_chosen_once() -> None:
    assert [value for value, _ in ROLE_CHOICES] == [role.value for role in Role]
    assert len(set(ROLE_WORDS.values())) == len(Role)


@pytest.mark.parametrize("role", NEEDED)
def test_what_goes_wrong_without_a_needed_role_is_said(role: Role) -> None:
    assert missing_text(role).startswith("No step is marked as ")
