"""The ledger: why a line is open, and what is summed over its lines."""
