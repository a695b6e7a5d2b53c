"""Pieces in their boxes: packed, sent, arrived, damaged, lost, back."""
