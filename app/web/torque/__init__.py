"""Torque values and the user's wrenches."""
