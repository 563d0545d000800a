"""The card of an item, and what it shows."""
