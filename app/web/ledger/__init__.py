"""The ledger and what is summed over it: leaving, undecided, engines, a zone's bulk mark."""
