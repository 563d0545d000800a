"""The tables that follow from the journal, dropped and filled again from its lines."""
