"""What the work waits for from outside, as rows."""
