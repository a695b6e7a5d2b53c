"""A board from the other end: proposed from how large it may be, what it may cost, when, and where it is seen from."""
