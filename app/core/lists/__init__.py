"""Lists: rows and columns of a procedure as text."""
