"""What a form says, read in one place: whether a page sent it at once or a phone kept it."""
