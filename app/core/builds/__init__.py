"""A build as it stands, and what follows from the whole of it."""
