"""The order of putting back: the graph of acts, how far it is, what can be done now."""
