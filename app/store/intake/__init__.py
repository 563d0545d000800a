"""What phones send: entries, lines, captures, pictures."""
