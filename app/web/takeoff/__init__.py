"""Taking off: captures, photos, findings, describing."""
