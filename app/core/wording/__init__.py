"""The ledger, the order and the plan in words."""
