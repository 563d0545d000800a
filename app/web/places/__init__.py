"""Places and finding things."""
