"""The bay."""
