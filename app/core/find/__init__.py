"""Finding in a build: by code, by number, by words."""
