"""From a picture file to the grid of colours in it."""

from planner.picture.decode import MAX_BYTES, MAX_PIXELS, PictureError, clean_copy
from planner.picture.grid import PictureGrid, Reading, read_picture

__all__ = ["MAX_BYTES", "MAX_PIXELS", "PictureError", "PictureGrid", "Reading", "clean_copy", "read_picture"]
