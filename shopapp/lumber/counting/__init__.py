"""Stocktakes: the rack counted against the book, by several at once, and the differences written as one entry."""
