"""Time logged at a kept plan."""
