"""Pieces sold once, given, held, withdrawn and taken back."""
