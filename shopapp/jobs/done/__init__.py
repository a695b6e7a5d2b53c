"""A job that is done or nearly: what was planned against what it took, what is still open, and what went into it."""
