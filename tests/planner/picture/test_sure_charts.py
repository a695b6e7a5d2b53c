"""A chart is sure where its ruling is plain and its background hangs on no tolerance."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.charts.grounds import plainly_grounded
from tests.pictures.truths import truths
from tests.planner.picture.test_charts import chart, face
from tests.support.picture_files import saved

PAGE = np.array((250, 246, 236), dtype=np.uint8)


def on_page(off):
    """Cells on a page of which a fifth are off the page's colour by so many levels."""
    cells = np.empty((20, 20, 3), dtype=np.uint8)
    cells[:] = PAGE
    cells[6:14, 6:14] = (60, 90, 140)
    cells[:4] -= np.uint8(off)
    return cells


def is_plain(off, *, lossless):
    cells = on_page(off)
    filled = (np.abs(cells.astype(int) - PAGE).max(axis=2)) > 8
    return plainly_grounded(cells, PAGE, filled, lossless=lossless)


def test_cells_of_the_page_and_cells_far_off_it_are_plainly_told():
    for off in (0, 2, 40):
        assert is_plain(off, lossless=True) and is_plain(off, lossless=False)


def test_cells_just_within_the_tolerance_or_just_outside_of_it_are_in_doubt():
    for off in (7, 12):
        assert not is_plain(off, lossless=True) and not is_plain(off, lossless=False)


def test_a_lossy_file_may_leave_cells_of_the_page_further_apart():
    assert is_plain(5, lossless=False) and not is_plain(5, lossless=True)


def photographed(cells):
    """The file of a photo of a chart in light that falls to one side, with noise."""
    page = chart(cells, 26, wide=2, margin=40, line=(90, 90, 90), paper=tuple(PAGE.tolist()))
    light = np.linspace(1.0, 0.8, page.shape[1])[:, None]
    noise = np.random.default_rng(7).normal(0, 2, page.shape)
    file = io.BytesIO()
    Image.fromarray(np.clip(page * light + noise, 0, 255).astype(np.uint8)).save(file, "JPEG", quality=90)
    return file.getvalue()


def test_a_clean_photo_of_a_chart_is_sure_and_one_of_cells_nearly_as_the_page_is_not():
    paper = tuple(PAGE.tolist())
    assert read_picture(photographed(face(paper))).sure
    doubtful = face(paper)
    doubtful[:, -3:] = PAGE - 12
    assert not read_picture(photographed(doubtful)).sure


def test_a_chart_of_a_few_cells_may_as_well_be_a_drawing_in_bands():
    colours = np.array([(190, 70, 60), (110, 160, 90), (40, 60, 140), (240, 200, 60)], dtype=np.uint8)
    for side in (6, 12):
        cells = colours[np.random.default_rng(side).integers(0, 4, (side, side))]
        file = io.BytesIO()
        Image.fromarray(chart(cells, 30, wide=3, line=(90, 90, 90))).save(file, "JPEG", quality=85)
        reading = read_picture(file.getvalue())
        assert reading.kind == "chart" and reading.grid.rgb.shape == cells.shape
        assert reading.sure == (side == 12)


QUILT = next(truth for truth in truths("held") if truth.name == "quilt-10")


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_what_reaches_the_edge_of_white_lines_on_white_may_be_the_drawings_own(kind):
    """Blank rows around a drawing do not show there, and a colour on 57 of a hundred cells of its edge and in three
    corners of patchwork need not be a ground."""
    cells = np.where(QUILT.clear[..., None], 255, QUILT.rgb).astype(np.uint8)
    page = chart(cells, 16, wide=2, heavy=5, line=(255, 255, 255), margin=60)
    reading = read_picture(saved(Image.fromarray(page), kind))
    assert reading.grid.filled.shape == cells.shape[:2] and not reading.sure


def test_a_drawing_printed_with_its_own_ground_is_sure_though_it_is_white_in_places():
    ground = np.full((20, 16, 3), (90, 140, 200), dtype=np.uint8)
    ground[3:17, 3:13] = (230, 120, 60)
    ground[6:9, 5:8] = 255
    page = chart(ground, 16, wide=2, heavy=5, line=(255, 255, 255), margin=60)
    reading = read_picture(saved(Image.fromarray(page)))
    assert reading.sure and reading.grid.filled.sum() == 14 * 10
