"""The web: one module per noun, a factory, the server."""
