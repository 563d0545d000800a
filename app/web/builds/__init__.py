"""Builds, their steps, the crew, joining, printing."""
