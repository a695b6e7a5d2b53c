"""A photo within the limit may have a clean copy beyond it, and is mended and reduced from that copy all the same."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import Lattice, PictureError, clean_copy, read_picture
from planner.picture.decode import MAX_BYTES
from planner.picture.reading_at import read_at
from planner.picture.reduction import reduce_picture
from tests.support.picture_files import saved


def test_a_photo_is_read_at_a_place_and_reduced_from_its_clean_copy():
    cells = np.array([[40, 200], [230, 90]])[..., None] * [1.0, 0.9, 0.8]
    # The same grain comes back further down than any packing remembers.
    grain = np.random.default_rng(3).normal(0, 25, (120, 2400, 3))
    halves = [(row.repeat(1200, axis=0) + grain).clip(0, 255).astype(np.uint8) for row in cells]
    photo = np.concatenate([np.tile(half, (10, 1, 1)) for half in halves])
    uploaded = saved(Image.fromarray(photo), "JPEG", quality=88)
    copy = clean_copy(uploaded)
    assert len(uploaded) < MAX_BYTES < len(copy)
    with pytest.raises(PictureError, match="MB"):
        read_picture(copy)
    grid = read_at(copy, Lattice.upright(0, 0, 1200, 1200, rows=2, columns=2))
    assert grid.rgb[..., 0].argmax() == 2 and grid.rgb[..., 0].argmin() == 0
    assert reduce_picture(copy, None, 4, 4, 4).rgb.shape == (4, 4, 3)
