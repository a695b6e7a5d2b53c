"""The time log: how long work took, and what it says of the next."""
