"""Gates before acts that cannot be undone; rechecks; coming back after a pause."""
