"""Fairs: pieces packed for one and brought home, what was sold there, on a phone without network too, what it paid."""
