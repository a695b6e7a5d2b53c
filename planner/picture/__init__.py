"""From a picture file to the grid of colours in it."""

from planner.picture.decode import MAX_BYTES, MAX_PIXELS, PictureError, clean_copy
from planner.picture.grid import NoGrid, PictureGrid, Proposal, Reading, read_picture
from planner.picture.lattice import Lattice

__all__ = [
    "MAX_BYTES",
    "MAX_PIXELS",
    "Lattice",
    "NoGrid",
    "PictureError",
    "PictureGrid",
    "Proposal",
    "Reading",
    "clean_copy",
    "read_picture",
]
