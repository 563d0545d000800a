"""To be got, away, waited for."""
