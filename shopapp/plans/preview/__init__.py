"""The board of a plan in real grain: dry or oiled, near or from across the room."""
