"""Torque texts as printed, their reading, the values reached, and wrenches."""
