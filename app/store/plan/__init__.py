"""Builds, steps, items and what is stated of them, as rows."""
