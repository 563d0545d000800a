"""Things of the ledger: kinds and acts, lines of the journal, the state that is folded from them."""
