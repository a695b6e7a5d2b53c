"""What cannot be reduced is refused in words that say what is wrong and how to mend it."""

from __future__ import annotations

import pytest
from PIL import Image

from planner.picture import PictureError
from planner.picture.reduction import Crop, reduce_picture
from tests.support.picture_files import saved, speckled

DATA = saved(Image.fromarray(speckled(60, 80)))


@pytest.mark.parametrize(
    ("crop", "words"),
    [
        (Crop(-1, 0, 10, 10), "80 pixels wide and 60 high"),
        (Crop(0, 0, 81, 10), "from 0 to 81 pixels across"),
        (Crop(0, 55, 10, 10), "from 55 to 65 down"),
        (Crop(0, 0, 0, 10), "0 pixels wide and 10 high"),
        (Crop(5, 5, 10, -3), "10 pixels wide and -3 high"),
    ],
)
def test_a_part_that_is_not_within_the_picture(crop, words):
    with pytest.raises(PictureError, match=words) as refused:
        reduce_picture(DATA, crop, 10, 10, 4)
    assert refused.value.mend and refused.value.field == "crop"


@pytest.mark.parametrize(
    ("rows", "columns", "colours", "field", "words"),
    [
        (201, 10, 4, "rows", "201 cells high"),
        (10, 201, 4, "columns", "201 cells wide"),
        (0, 10, 4, "rows", "0 cells high"),
        (10, -5, 4, "columns", "-5 cells wide"),
        (1, 1, 4, "rows", "a single cell"),
        (10, 10, 0, "colours", "0 colours"),
        (10, 10, 65, "colours", "65 colours"),
    ],
)
def test_a_grid_that_cannot_be_had(rows, columns, colours, field, words):
    with pytest.raises(PictureError, match=words) as refused:
        reduce_picture(DATA, None, rows, columns, colours)
    assert refused.value.mend and refused.value.field == field


@pytest.mark.parametrize("data", [b"", b"not a picture", DATA[:50]])
def test_a_file_that_is_no_picture(data):
    with pytest.raises(PictureError):
        reduce_picture(data, None, 10, 10, 4)
