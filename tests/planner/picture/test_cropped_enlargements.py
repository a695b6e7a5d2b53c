"""An enlargement cropped through its cells is still read, where its edges leave no doubt; else as it lies."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from planner.picture import PictureError, read_picture
from tests.support.picture_files import saved, speckled

FACES = {
    path.stem: np.asarray(Image.open(path).convert("RGBA"))
    for path in sorted((Path(__file__).parents[2] / "pictures").glob("face-*.png"))
}


def cropped(cells: np.ndarray, scale: int, top: int, left: int, bottom: int, right: int) -> bytes:
    large = cells.repeat(scale, axis=0).repeat(scale, axis=1)
    height, width = large.shape[:2]
    return saved(Image.fromarray(large[top : height - bottom, left : width - right]))


@pytest.mark.parametrize("scale", [5, 8, 13])
@pytest.mark.parametrize("name", FACES)
def test_a_face_cut_through_its_outermost_cells_is_read_whole(name, scale):
    face = FACES[name]
    reading = read_picture(cropped(face, scale, 2, 3, 1, scale - 1))
    assert reading.cut and reading.scale == scale
    assert (reading.grid.filled == (face[..., 3] == 255)).all()
    assert (reading.grid.rgb == face[..., :3] * (face[..., 3:] == 255)).all()
    assert any("cuts through" in words for words in reading.seen)


def test_random_crops_of_random_grids_come_back_cell_for_cell():
    rng = np.random.default_rng(17)
    for _ in range(60):
        rows, columns, scale = rng.integers(12, 40), rng.integers(12, 40), int(rng.choice([3, 5, 7, 11]))
        cells = rng.integers(0, 256, (rows, columns, 3), dtype=np.uint8)
        reading = read_picture(cropped(cells, scale, *rng.integers(0, scale, 4)))
        assert (reading.scale, reading.grid.rgb.shape) == (scale, cells.shape)
        assert (reading.grid.rgb == cells).all()


def test_a_crop_along_the_edges_of_cells_is_no_cut():
    cells = speckled(16, 16)
    assert not read_picture(cropped(cells, 6, 6, 0, 12, 6)).cut


def test_a_small_drawing_in_broad_strokes_is_left_at_its_own_size():
    # A plus in strokes of three with a margin of one: five cut cells a side would explain it as well.
    plus = np.full((11, 11, 3), 255, dtype=np.uint8)
    plus[4:7, 1:10] = plus[1:10, 4:7] = 30
    reading = read_picture(saved(Image.fromarray(plus)))
    assert (reading.scale, reading.cut, reading.grid.rows) == (1, False, 11)


@pytest.mark.parametrize("margin", [1, 2, 3])
def test_icons_drawn_small_are_never_taken_for_cut_ones(margin):
    blocks = (Path(__file__).parents[2] / "pictures" / "icons.txt").read_text().strip().split("\n\n")
    for block in blocks:
        icon = np.array([[c == "#" for c in row] for row in block.split("\n")[1:]])
        pixels = np.where(np.pad(icon, margin)[..., None], [20, 20, 20], [240, 240, 240]).astype(np.uint8)
        assert not read_picture(saved(Image.fromarray(pixels))).cut


def test_a_crop_too_large_to_be_read_a_pixel_a_cell_needs_fewer_edges():
    cells = speckled(4, 5)
    reading = read_picture(cropped(cells, 71, 13, 20, 1, 2))
    assert reading.cut and (reading.grid.rgb == cells).all()


def test_a_picture_of_more_than_two_hundred_cells_is_refused_with_its_size_in_cells():
    with pytest.raises(PictureError, match=r"2 pixels a cell the picture is 201 cells wide and 3 high"):
        read_picture(cropped(speckled(3, 201), 2, 0, 0, 0, 0))
    with pytest.raises(PictureError, match=r"one pixel a cell the picture is 640 cells wide and 480 high"):
        read_picture(saved(Image.fromarray(speckled(480, 640))))
