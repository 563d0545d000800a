"""Tightening a group: stages, the order of its bolts, tables of values."""
