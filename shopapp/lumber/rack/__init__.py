"""The rack: every piece on it, what can be done with one, and what happened to it."""
