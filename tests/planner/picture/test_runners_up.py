"""Beside the best grid two or three others are offered, which the picture does not rule out."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import RULED, PictureGrid, Reading, Sides, carried, read_at, read_picture
from tests.planner.picture.test_charts import chart, face
from tests.support.picture_files import saved, speckled


def read(cells: np.ndarray, scale: int = 1) -> Reading:
    return read_picture(saved(Image.fromarray(cells.repeat(scale, axis=0).repeat(scale, axis=1))))


def sizes(reading: Reading) -> list[tuple[int, int]]:
    return [(other.grid.rows, other.grid.columns) for other in reading.others]


def with_margin(cells: np.ndarray, wide: int = 2) -> np.ndarray:
    return np.pad(cells, ((wide, wide), (wide, wide), (0, 0)), constant_values=250)


def test_of_a_picture_of_one_pixel_a_square_squares_two_and_three_pixels_wide_are_offered():
    reading = read(speckled(13, 18))
    assert reading.grid.rows == 13
    # 13 rows are seven of two pixels, the last or the first of which is cut by the picture's edge.
    assert sizes(reading) == [(7, 9), (5, 6)]
    assert [other.lattice.pitch for other in reading.others] == [2, 3]
    assert [other.differs for other in reading.others] == ["squares twice as large", "squares three times as large"]


def test_a_margin_may_be_meant_or_be_nothing():
    drawing = speckled(12, 12)
    reading = read(with_margin(drawing), 5)
    assert reading.grid.filled.shape == (16, 16) and reading.sure
    first = reading.others[0]
    assert first.differs == "without the background around it" and first.sides == Sides(-2, -2, -2, -2)
    assert (first.grid.rgb == drawing).all()
    assert first.lattice.corners[0] == (10, 10) and first.lattice.pitch == 5


def test_strokes_two_squares_wide_are_offered_as_squares_before_anything_else():
    strokes = speckled(8, 10).repeat(2, axis=0).repeat(2, axis=1)
    strokes[3, 3] = (1, 2, 3)
    reading = read(with_margin(strokes, 1))
    assert reading.grid.filled.shape == (18, 22) and reading.kind == "native"
    # The strokes begin at the odd pixels, with the margin half a square of background on every side.
    assert reading.others[0].differs == "squares twice as large"
    assert sizes(reading)[0] == (10, 12) and reading.others[0].lattice.corners[0] == (-1, -1)
    assert (reading.others[0].grid.rgb[1:-1, 1:-1] == speckled(8, 10)).mean() > 0.98


def test_a_chart_is_offered_with_and_without_what_lies_around_its_drawing():
    paper = (250, 246, 236)
    cells = np.pad(face(paper), ((2, 2), (2, 2), (0, 0)), mode="edge")
    cells[[0, 1, -2, -1]], cells[:, [0, 1, -2, -1]] = paper, paper
    reading = read_picture(saved(Image.fromarray(chart(cells, 20, wide=2, margin=44, paper=paper))))
    assert reading.sure and reading.kind == "chart" and reading.grid.filled.shape == cells.shape[:2]
    said = [other.differs for other in reading.others]
    assert said == ["without the background around it", "with one square more of what lies around it"]
    inner, outer = reading.others
    rows, columns = np.flatnonzero(reading.grid.filled.any(axis=1)), np.flatnonzero(reading.grid.filled.any(axis=0))
    assert inner.grid.filled.shape == (rows[-1] + 1 - rows[0], columns[-1] + 1 - columns[0])
    assert outer.grid.filled.shape == (cells.shape[0] + 2, cells.shape[1] + 2)
    # What lies around it is the page.
    assert not outer.grid.filled[[0, -1]].any() and not outer.grid.filled[:, [0, -1]].any()


def test_what_is_offered_is_read_from_the_picture_at_the_place_it_is_said_to_lie():
    data = saved(Image.fromarray(with_margin(speckled(11, 15)).repeat(6, axis=0).repeat(6, axis=1)))
    for other in read_picture(data).others:
        there = read_at(data, other.lattice, lines=other.kind in RULED)
        assert (there.rgb == other.grid.rgb).all()


@pytest.mark.parametrize(
    ("rows", "columns", "others"), [(1, 12, []), (12, 1, []), (2, 12, [(1, 6)]), (150, 150, [(75, 75), (50, 50)])]
)
def test_a_row_of_single_pixels_has_no_other_reading_and_two_rows_have_one(rows, columns, others):
    assert sizes(read(speckled(rows, columns))) == others


def test_a_grid_carried_over_to_more_rows_keeps_its_colours_and_takes_new_ones_as_it_has_them():
    grid = PictureGrid(speckled(6, 7), np.ones((6, 7), dtype=np.bool_))
    grid.filled[0] = False
    fresh = PictureGrid(np.full((7, 6, 3), 9, dtype=np.uint8), np.ones((7, 6), dtype=np.bool_))
    fresh.rgb[6] = grid.rgb[2, 3] + np.uint8(3)
    now = carried(grid, Sides(bottom=1, left=-1), fresh)
    assert (now.rgb[:6] == grid.rgb[:, 1:]).all() and (now.filled[:6] == grid.filled[:, 1:]).all()
    assert (now.rgb[6] == grid.rgb[2, 3]).all()


def test_background_is_sought_in_a_grid_that_had_none_once_its_frame_is_gone():
    cells = np.full((9, 9, 3), 30, dtype=np.uint8)
    cells[1:-1, 1:-1], cells[3:6, 3:6] = 220, (200, 40, 40)
    grid = PictureGrid(cells, np.ones((9, 9), dtype=np.bool_))
    inner = Sides(-1, -1, -1, -1)
    assert carried(grid, inner, None).filled.sum() == 9
    assert carried(grid, inner, None, look_again=False).filled.all()
