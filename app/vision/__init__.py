"""Reading tags in photographs."""
