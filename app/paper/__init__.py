"""PDF sheets and labels, drawn as vectors with embedded fonts."""
