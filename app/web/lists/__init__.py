"""Lists as pages."""
