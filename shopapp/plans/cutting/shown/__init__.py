"""A cut plan as its pages show it."""
