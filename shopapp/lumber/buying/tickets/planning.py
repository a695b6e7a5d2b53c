"""The door to the planner for tickets: a photo's clean copy."""

from __future__ import annotations

from planner.sample import shown_copy

__all__ = ["shown_copy"]
