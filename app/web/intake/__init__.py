"""What phones send, and forms that say one fact."""
