"""Threads and bolts: sizes, strength, preload, positions of a group."""
