"""What the work waits for from outside: to be got, away, ordered, soaking."""
