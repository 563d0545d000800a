"""The command line's options, and the commands for lists."""
