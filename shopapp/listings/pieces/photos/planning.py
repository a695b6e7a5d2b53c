"""The door to the planner for photos: a file as it came in, a clean copy that pages show out."""

from planner.sample import shown_copy

__all__ = ["shown_copy"]
