"""Serving on the network: sockets, the announced name, the greeting in the terminal."""
