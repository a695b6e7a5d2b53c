"""Adhesives, finishes, clamps and row jigs: the maker's own records, changed on pages of their own."""
