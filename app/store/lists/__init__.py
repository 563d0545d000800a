"""Lists put in and written out."""
