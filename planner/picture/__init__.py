"""From a picture file to the grid of colours in it.

decode, container   a file within limits, upright, as RGBA
lossless, factors   grids that explain the picture to the last pixel (whole_axes, margins for what lies on a page,
                    cut_cells for what the edge cuts, exact_cells for what each leaves to be told, evenness of runs;
                    smeared: what a filter drew is none of these)
charts/             cells between ruled lines, also seen askew
sizes, loose        which sizes stand out, and where there is a margin (loose_tents, hard_ends for smooth drawings)
tilt, turning       how far it is turned, and turned back
redraw, choosing    what a grid leaves unexplained, and which explains most with least
cells, cleaning     the cells' colours, unblurred, light and drift taken out; shares and filed for what a
                    lossy file did to small cells
background, aside   what of them is background (surround: whose colour the edge wears; doubt: whether it might as well
                    be another)
proposing, reading  the best grid, the next best, and whether it is sure (plain: what each kind of picture must show for
                    that; runners_up: what may be meant otherwise)
lattice, reading_at where cells lie, and a picture read at a place the maker laid down
carrying            a grid with rows and columns more or fewer at its sides
reduction           an ordinary picture brought to a chosen grid
"""

from planner.picture.background import background_toggled
from planner.picture.carrying import carried
from planner.picture.decode import MAX_BYTES, MAX_PIXELS, PictureError, clean_copy
from planner.picture.grid import RULED, NoGrid, PictureGrid, Proposal, Reading, Sides
from planner.picture.lattice import Lattice
from planner.picture.reading import read_picture
from planner.picture.reading_at import read_at

__all__ = [
    "MAX_BYTES",
    "MAX_PIXELS",
    "RULED",
    "Lattice",
    "NoGrid",
    "PictureError",
    "PictureGrid",
    "Proposal",
    "Reading",
    "Sides",
    "background_toggled",
    "carried",
    "clean_copy",
    "read_at",
    "read_picture",
]
