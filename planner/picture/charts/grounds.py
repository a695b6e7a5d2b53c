"""Whether what is set aside of a chart as background is plain, or hangs on how much colours are let drift."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import flat_background, page_background
from planner.picture.doubt import beside_the_page, ground_in_doubt

# Levels of 255 that cells may be off the page's colour, and off the commonest colour of their edge: half and twice what
# they may be elsewhere.
_OFF_PAGE, _OFF_EDGE = (4, 16), (2, 8)
# In a lossy file what is set aside as the page lies so near to the middle of its own colours instead.
_OFF_OWN_MIDDLE = 6
# No larger part of the cells may change sides.
_CHANGED = 0.004


def plainly_grounded(
    rgb: NDArray[np.uint8], page: NDArray[np.uint8] | None, filled: NDArray[np.bool_], *, lossless: bool
) -> bool:
    """Whether the cells that are not ``filled`` are set aside, but for a few, with half and with double the tolerance.
    ``page`` is the colour of the page, where it is seen; ``lossless`` whether the file is."""
    for off_page, off_edge in zip(_OFF_PAGE, _OFF_EDGE, strict=True):
        ground = None if page is None else page_background(rgb, page, off_page)
        if ground is None:
            if ground_in_doubt(rgb, off_edge):
                return False
            if page is not None and beside_the_page(rgb, page, off_page):
                return False
            ground = flat_background(rgb, off_edge)
        elif off_page == min(_OFF_PAGE) and not lossless and not filled.all():
            ground = page_background(rgb, np.median(rgb[~filled], axis=0).astype(np.uint8), _OFF_OWN_MIDDLE)
        other = ~filled if ground is None else filled == ground
        if other.mean() > _CHANGED:
            return False
    return True
