"""A data folder looked through for damage; nothing is changed."""
