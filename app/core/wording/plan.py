"""The plan of putting back in words: heights, split and time, with what is proved and what is not."""

from app.core.plan.heights import HeightPlan
from app.core.plan.minutes import Range
from app.core.plan.sharing import Split

HOUR = 60


def hours(minutes: int) -> str:
    """Return minutes as a person says them, such as `6 h 20 min`."""
    whole, rest = divmod(minutes, HOUR)
    said = [f"{whole} h"] * bool(whole) + [f"{rest} min"] * bool(rest or not whole)
    return " ".join(said)


def clock(minutes: int) -> str:
    """Return minutes from the beginning as on a clock, such as `6:20`."""
    whole, rest = divmod(minutes, HOUR)
    return f"{whole}:{rest:02}"


def heights_text(plan: HeightPlan, reverse: int, *, is_sure: bool = True) -> str:
    """Return how often the height changes and what that is worth.

    Args:
        plan: The plan.
        reverse: Changes of the plain reverse.
        is_sure: Whether all is said that the order follows from; otherwise nothing is proved.
    """
    if not plan.changes:
        return "No change of height." + _saves(reverse)
    if not is_sure:
        sure = "as far as is known: not everything is said that the order follows from"
    else:
        sure = "proved fewest" if plan.proved else f"the best found; fewer than {plan.bound} cannot be"
    return f"{_changes(plan.changes)}, {sure}." + _saves(reverse - plan.changes, reverse)


def _changes(number: int) -> str:
    return f"{number} change of height" if number == 1 else f"{number} changes of height"


def _saves(saved: int, reverse: int | None = None) -> str:
    if saved <= 0:
        return " The plain reverse needs no more." if reverse else ""
    return f" The plain reverse has {reverse or saved}: this saves {saved}."


def split_text(split: Split, people: int) -> str:
    """Return how long the split takes and how sure that is."""
    who = "one person" if people == 1 else f"{people} people"
    if split.proved:
        return f"{hours(split.makespan)} with {who}: no split that keeps these heights is shorter."
    return (
        f"{hours(split.makespan)} with {who}, the shortest found; "
        f"one that keeps these heights takes at least {hours(split.bound)}."
    )


def range_text(found: Range) -> str:
    """Return how long the rest takes, one step after the other."""
    return f"About {hours(found.likely)}: between {hours(found.low)} and {hours(found.high)}."


def learned_text(found: Range, recorded: int) -> str:
    """Return what the range was reckoned from.

    Args:
        found: The range.
        recorded: How many steps have minutes recorded at taking off.
    """
    base = "the plan’s minutes"
    if recorded:
        base = f"the minutes recorded at taking off ({_steps(recorded)}), else {base}"
    if not found.learned_from:
        return f"From {base}. No step is finished yet, so the range is wide."
    return (
        f"From {base}, times {found.ratio:.1f}: learned from {_steps(found.learned_from)} put back. "
        "The more are done, the narrower it gets."
    )


def _steps(number: int) -> str:
    return "one step" if number == 1 else f"{number} steps"
