"""A chart on a page on a table ends with its own last line, whatever the page's rim and the table's grain look like."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture.charts import find_charts
from tests.planner.picture.test_charts import chart, face


def on_a_table(page, table, grain):
    """The page turned a little on a table with a wavy grain, darker and lighter by so many levels."""
    height, width = page.shape[:2]
    whole = np.empty((height + 160, width + 160, 3))
    whole[:] = table
    whole += (grain * np.sin(0.13 * np.arange(len(whole))))[:, None, None]
    whole[80 : 80 + height, 80 : 80 + width] = page
    picture = Image.fromarray(whole.astype(np.uint8))
    return np.asarray(picture.rotate(1.5, Image.Resampling.BICUBIC, fillcolor=table))


@pytest.mark.parametrize("table", [(30, 50, 45), (120, 80, 50)])
@pytest.mark.parametrize(("pitch", "wide", "margin"), [(24, 2, 30), (24, 4, 50), (40, 2, 10), (40, 6, 30)])
def test_the_frame_does_not_reach_over_page_and_table(table, pitch, wide, margin):
    page = chart(face(), pitch, wide=wide, margin=margin, line=(40, 40, 40), heavy=5, paper=(250, 246, 240))
    best = find_charts(on_a_table(page, table, 8))[0]
    assert (best.lattice.rows, best.lattice.columns) == face().shape[:2]


def test_lines_that_rule_blank_cells_are_not_taken_to_spare_them():
    cells = np.full((10, 10, 3), 255, dtype=np.uint8)
    cells[3:9, 2:9] = (60, 40, 90)
    cells[4:7, 3:8] = (220, 170, 220)
    page = chart(cells, 9, wide=2, margin=36, line=(45, 45, 45))
    noise = np.random.default_rng(4).normal(0, 9, page.shape)
    best = find_charts(np.clip(page + noise, 0, 255).astype(np.uint8))[0]
    assert (best.lattice.rows, best.lattice.columns) == (10, 10)


@pytest.mark.parametrize("table", [(78, 29, 31), (60, 62, 66)])
def test_a_chart_that_ends_with_its_page_ends_there(table):
    cells, pitch, margin = np.tile(face(), (1, 2, 1)), 24, 40
    page = chart(cells, pitch, wide=4, margin=margin, line=(71, 71, 71), heavy=5, paper=(214, 232, 236))
    page = page[:, : margin + cells.shape[1] * pitch + 3]
    best = find_charts(on_a_table(page, table, 8))[0]
    assert (best.lattice.rows, best.lattice.columns) == cells.shape[:2]


@pytest.mark.parametrize("narrower", [0.09, 0.12])
def test_a_page_seen_from_its_foot_is_read_though_no_even_comb_meets_its_lines(narrower):
    """One side of the page is shorter by a tenth, and a pattern of single cells has few lines on a plain ground."""
    colours = np.array([(184, 148, 62), (214, 140, 104), (26, 72, 62), (238, 238, 234)], dtype=np.uint8)
    cells = colours[np.random.default_rng(5).integers(0, 4, (19, 23))]
    page = Image.fromarray(chart(cells, 30, margin=45, line=(40, 40, 44), paper=(238, 240, 242)))
    width, height = page.size
    off = narrower * height / 2
    seen = page.transform(
        page.size,
        Image.Transform.QUAD,
        (0, -off, 0, height + off, width, height, width, 0),
        Image.Resampling.BICUBIC,
        fillcolor=(120, 82, 52),
    )
    best = find_charts(np.asarray(seen.resize((int(0.8 * width), int(0.8 * height)), Image.Resampling.BOX)))[0]
    assert (best.lattice.rows, best.lattice.columns) == cells.shape[:2]


def test_rows_in_which_lines_are_lost_do_not_end_a_chart_that_goes_on_below():
    """A hull below its sail: in its rows no line shows on the dark cells, below they are seen again."""
    cells = np.full((16, 14, 3), (250, 246, 240), dtype=np.uint8)
    cells[3:9, 4:11], cells[9:11], cells[11:13, 2:12] = (190, 120, 80), (24, 34, 22), (120, 180, 160)
    pitch, margin = 24, 40
    page = chart(cells, pitch, wide=2, margin=margin, line=(120, 112, 108), paper=(250, 246, 240))
    page[margin + 9 * pitch : margin + 11 * pitch, margin : margin + 14 * pitch] = (24, 34, 22)
    best = find_charts(on_a_table(page, (120, 80, 50), 8))[0]
    assert (best.lattice.rows, best.lattice.columns) == (16, 14)
