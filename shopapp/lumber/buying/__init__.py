"""Buying wood: who sells it and how they count, a delivery board by board, and what it came to."""
