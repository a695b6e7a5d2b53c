"""A quote while it is written: what several people change until it is made."""
