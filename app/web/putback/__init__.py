"""Putting back: the list, what can be done now, the plan."""
