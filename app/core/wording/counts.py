"""Counts with their words."""


def counted(n: int, one: str, many: str = "") -> str:
    """Return a count with its word, such as `1 piece` or `3 pieces`.

    Args:
        n: 0 or more.
        one: What follows a single one.
        many: What follows any other count; empty where that is `one` with an s.
    """
    return f"{n} {one if n == 1 else many or one + 's'}"
