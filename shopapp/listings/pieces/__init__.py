"""Finished pieces: numbered, photographed, and where they are."""
