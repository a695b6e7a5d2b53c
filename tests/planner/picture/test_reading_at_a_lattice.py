"""A picture is read at the lattice a maker laid over it, and background goes and comes by a tap."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import Lattice, PictureError, PictureGrid, background_toggled, read_at, read_picture
from tests.support.picture_files import saved, speckled


def enlarged(cells: np.ndarray, scale: int) -> Image.Image:
    return Image.fromarray(cells.repeat(scale, axis=0).repeat(scale, axis=1))


def ring() -> np.ndarray:
    cells = np.full((7, 7, 3), 240, dtype=np.uint8)
    cells[1:6, 1:6] = (40, 90, 160)
    cells[2:5, 2:5] = 240
    return cells


def test_at_its_own_lattice_a_picture_reads_as_it_was_read():
    data = saved(enlarged(ring(), 9))
    reading = read_picture(data)
    again = read_at(data, reading.lattice)
    assert (again.rgb == reading.grid.rgb).all() and (again.filled == reading.grid.filled).all()


def test_a_lattice_with_a_row_less_on_top_leaves_that_row_out():
    cells = speckled(8, 9)
    data = saved(enlarged(cells, 6))
    lattice = read_picture(data).lattice.extended(top=-1)
    assert (read_at(data, lattice).rgb == cells[1:]).all()


def test_a_lattice_past_the_edge_takes_the_colour_of_the_edge():
    data = saved(enlarged(ring(), 8))
    grid = read_at(data, read_picture(data).lattice.extended(left=1))
    assert grid.columns == 8 and not grid.filled[:, 0].any()


def test_a_picture_turned_by_a_degree_is_read_at_a_turned_lattice():
    cells = speckled(10, 10)
    turned = enlarged(cells, 20).rotate(-1, Image.Resampling.BICUBIC, expand=False)
    c, s, half = np.cos(np.radians(1)), np.sin(np.radians(1)), 100.0
    places = [(x * c - y * s + half, x * s + y * c + half) for x, y in ((-90, -90), (90, -90), (90, 90), (-90, 90))]
    lattice = Lattice(tuple(places), 9, 9)
    # Half a cell was left out on every side, so that each cell read lies across four.
    shifted = lattice.nudged(10 * c - 10 * s, 10 * s + 10 * c)
    assert np.abs(read_at(saved(turned), shifted).rgb[:8, :8].astype(int) - cells[1:9, 1:9]).max() <= 3
    assert lattice.turn == pytest.approx(1.0)


def test_lines_between_the_cells_are_left_out():
    cells = speckled(6, 6)
    picture = np.asarray(enlarged(cells, 12)).copy()
    picture[::12], picture[:, ::12], picture[1::12], picture[:, 1::12] = 0, 0, 0, 0
    grid = read_at(saved(Image.fromarray(picture)), Lattice.upright(0, 0, 12, 12, rows=6, columns=6), lines=True)
    assert (grid.rgb == cells).all()


def test_clear_cells_are_background_at_any_lattice():
    rgba = np.dstack([ring(), np.full((7, 7), 255, dtype=np.uint8)])
    rgba[3, 3, 3] = 0
    grid = read_at(saved(enlarged(rgba, 5)), Lattice.upright(0, 0, 5, 5, rows=7, columns=7))
    assert np.argwhere(~grid.filled).tolist() == [[3, 3]]


def test_a_tap_on_the_hole_of_a_ring_sets_just_the_hole_aside_and_a_second_tap_fills_it():
    grid = read_picture(saved(enlarged(ring(), 4))).grid
    open_ring = background_toggled(grid, 3, 3)
    assert open_ring.filled.sum() == 16 and not open_ring.filled[2:5, 2:5].any()
    assert (background_toggled(open_ring, 2, 4).filled == grid.filled).all()


def test_a_tap_takes_colours_that_are_nearly_the_same_and_no_others():
    rgb = np.array([[[200, 200, 200], [202, 199, 201], [150, 150, 150], [200, 200, 200]]], dtype=np.uint8)
    tapped = background_toggled(PictureGrid(rgb, np.ones((1, 4), dtype=bool)), 0, 0)
    assert tapped.filled.tolist() == [[False, False, True, True]]


def test_a_tap_beside_the_grid_changes_nothing():
    grid = read_picture(saved(enlarged(ring(), 4))).grid
    assert background_toggled(grid, 7, 0) is grid and background_toggled(grid, 0, -1) is grid


@pytest.mark.parametrize(
    "record",
    [
        None,
        {},
        {"rows": 3, "columns": True, "corners": [[0, 0], [9, 0], [9, 9], [0, 9]]},
        {"rows": 0, "columns": 3, "corners": [[0, 0], [9, 0], [9, 9], [0, 9]]},
        {"rows": 3, "columns": 201, "corners": [[0, 0], [9, 0], [9, 9], [0, 9]]},
        {"rows": 3, "columns": 3, "corners": [[0, 0], [9, 0], [9, 9]]},
        {"rows": 3, "columns": 3, "corners": [[0, 0], [9, 0], [0, 9], [9, 9]]},
        {"rows": 3, "columns": 3, "corners": [[0, 0], [9, 0], [9, float("nan")], [0, 9]]},
        {"rows": 3, "columns": 3, "corners": [[0, 0], [1e7, 0], [1e7, 9], [0, 9]]},
        {"rows": 3, "columns": 3, "corners": [[0, 0], [9, 0], [9, "9"], [0, 9]]},
    ],
)
def test_a_record_that_is_no_lattice_is_refused(record):
    with pytest.raises(PictureError):
        Lattice.from_record(record)
