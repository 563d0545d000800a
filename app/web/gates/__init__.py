"""Gates, rechecks, coming back."""
