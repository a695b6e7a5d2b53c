"""What was measured of the tiles, and every size and stop that follows from it."""
