"""From a picture file to the grid of colours in it."""

from planner.picture.background import background_toggled
from planner.picture.decode import MAX_BYTES, MAX_PIXELS, PictureError, clean_copy
from planner.picture.grid import NoGrid, PictureGrid, Proposal, Reading
from planner.picture.lattice import Lattice
from planner.picture.reading import read_picture
from planner.picture.reading_at import read_at

__all__ = [
    "MAX_BYTES",
    "MAX_PIXELS",
    "Lattice",
    "NoGrid",
    "PictureError",
    "PictureGrid",
    "Proposal",
    "Reading",
    "background_toggled",
    "clean_copy",
    "read_at",
    "read_picture",
]
