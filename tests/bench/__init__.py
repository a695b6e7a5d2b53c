"""Speeds, printed as ratios side by side in one run; run by hand, never asserted."""
