"""Enlarged by about two, a picture without loss is read where it can be told; where it cannot, nothing is sure."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.evenness import nats_of_runs
from planner.picture.lossless import exact_readings
from planner.picture.whole_axes import whole_axes
from tests.pictures.degrade import case, cases
from tests.pictures.judge import judge
from tests.pictures.truths import truths
from tests.support.picture_files import saved

ICONS = [truth for truth in truths("held") if truth.name.startswith("icon-")][:8]


def enlarged(cells: np.ndarray, factor: float, middle: float) -> np.ndarray:
    """Each pixel shows the cell at its place over the factor, the sides cut to whole pixels."""
    places = [((np.arange(int(n * factor)) + middle) / factor).astype(int).clip(0, n - 1) for n in cells.shape[:2]]
    return np.asarray(cells[np.ix_(*places)])


def icon(truth) -> np.ndarray:
    return np.where(truth.clear[..., None], 0, np.dstack([truth.rgb, np.full(truth.clear.shape, 255)])).astype(np.uint8)


@pytest.mark.parametrize("middle", [0.0, 0.5])
@pytest.mark.parametrize("factor", [1.6, 1.83, 2.09, 2.31])
def test_an_icon_of_few_edges_enlarged_by_about_two_is_read_right_or_not_sure(factor, middle):
    wrong = []
    for truth in ICONS:
        reading = read_picture(saved(Image.fromarray(enlarged(icon(truth), factor, middle))))
        if reading.sure and reading.grid.filled.shape != truth.clear.shape:
            wrong.append((truth.name, reading.grid.filled.shape))
    assert not wrong


def test_strokes_three_pixels_wide_here_and_four_there_tell_of_cells_that_were_enlarged():
    strokes = np.zeros((24, 24), dtype=np.uint32)
    for at, down in ((2, 3), (7, 6), (12, 2), (17, 9)):
        strokes[down : down + 9, at : at + 2] = strokes[at : at + 2, down : down + 7] = 1
    large = enlarged(strokes, 1.75, 0.5)
    assert nats_of_runs(strokes) < nats_of_runs(large)
    best = exact_readings(large)
    assert 24 in {cells.rows.count for cells in best}


def test_no_two_changes_begin_one_cell():
    """On 47 pixels 23 cells of two pixels and a little have no place for 23 changes."""
    changes = np.arange(1, 47, 2)
    assert all(axis.count > len(changes) for axis in whole_axes(changes, 47))


def test_pictures_of_one_pixel_a_cell_stay_so_though_other_grids_explain_them():
    for one in cases("native", "held", 12, 77):
        assert judge(one, read_picture(one.data)).exact, one.name


def test_cells_that_begin_where_no_pixel_changes_are_not_seen_in_a_picture_without_a_mixed_colour():
    """Widths that no grid explains: whoever drew this moved each stroke by hand."""
    widths = np.array([4, 3, 5, 4, 6, 3, 4, 5, 3, 4])
    blocks = (np.indices((10, 10)).sum(axis=0) % 2).repeat(widths, axis=0).repeat(widths[::-1], axis=1)
    large = np.where(blocks[..., None], (200, 60, 40), (250, 250, 240)).astype(np.uint8)
    assert not read_picture(saved(Image.fromarray(large))).sure


def test_paper_of_whole_cells_around_a_face_is_read_with_it():
    """The face alone is explained as well, as something on a page; but so is the picture, and the paper is its own."""
    face = next(truth for truth in truths("held") if truth.name == "face-21")
    reading = read_picture(case("nearest", face, 77011).data)
    assert (reading.grid.rows, reading.grid.columns) == (16, 16)
