"""Charts are ruled in many ways: with lines only where something is drawn, in two colours, with none around."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from planner.picture import read_picture
from planner.picture.charts import find_charts
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.planner.picture.test_charts import PAPER, assert_read, chart, corners, face
from tests.support.picture_files import saved

PLAID = np.array(
    [(198, 58, 48), (236, 178, 60), (70, 132, 86), (48, 92, 160), (120, 72, 140), (28, 30, 36), (236, 228, 212)],
    dtype=np.uint8,
)


def filled_part(cells, paper=PAPER):
    filled = (cells != paper).any(axis=2)
    rows, columns = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    return cells[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]


def test_lines_round_the_filled_cells_only_rule_a_chart_of_what_is_filled():
    cells, pitch, margin = face(), 16, 25
    page = chart(cells, pitch, line=PAPER)
    for row, column in np.argwhere((cells != PAPER).any(axis=2)):
        y, x = margin + row * pitch, margin + column * pitch
        page[[y, y + pitch], x : x + pitch + 1] = 70
        page[y : y + pitch + 1, [x, x + pitch]] = 70
    found = find_charts(page)
    assert found
    blank = (found[0].rgb == PAPER).all(axis=2)
    rows, columns = np.flatnonzero(~blank.all(axis=1)), np.flatnonzero(~blank.all(axis=0))
    read = found[0].rgb[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    assert np.array_equal(read, filled_part(cells))


def test_heavier_lines_of_another_colour_are_lines_too():
    cells, pitch = face(), 14
    page = chart(cells, pitch, line=(60, 60, 60))
    for place in range(0, cells.shape[1] + 1, 5):
        x = 25 + place * pitch
        page[25 : 25 + cells.shape[0] * pitch + 1, x - 1 : x + 2] = (190, 200, 235)
    assert_read(find_charts(page), cells, corners(cells, pitch))


def test_a_chart_without_a_line_around_it_keeps_its_outermost_cells():
    cells, pitch = face(), 14
    page = chart(cells, pitch)
    end_y, end_x = 25 + cells.shape[0] * pitch, 25 + cells.shape[1] * pitch
    page[:26] = page[end_y:] = PAPER
    page[:, :26] = page[:, end_x:] = PAPER
    assert_read(find_charts(page), cells, corners(cells, pitch))


def test_signs_printed_in_the_cells_leave_their_colour_as_it_is():
    cells, pitch = face(), 24
    page = Image.fromarray(chart(cells, pitch))
    pen = ImageDraw.Draw(page)
    for row, column in np.argwhere((cells != PAPER).any(axis=2)):
        x, y = 25 + column * pitch, 25 + row * pitch
        pen.line((x + 8, y + 8, x + 16, y + 16), fill=(0, 0, 0), width=2)
        pen.line((x + 16, y + 8, x + 8, y + 16), fill=(0, 0, 0), width=2)
    assert_read(find_charts(np.asarray(page)), cells, corners(cells, pitch))


def test_a_large_picture_of_a_chart_is_read_where_it_lies():
    cells, pitch = np.tile(face(), (3, 3, 1)), 44
    found = find_charts(chart(cells, pitch, wide=3))
    assert_read(found, cells)
    off = np.abs(np.array(found[0].lattice.corners) - np.array(corners(cells, pitch))).max()
    assert off < 0.1 * pitch


def test_numerals_beside_every_row_and_column_are_no_cells_though_lines_are_not_seen_among_them():
    """Over dark cells the lines stand out by so much that on the page they hardly do."""
    cells, pitch, margin = face((40, 52, 74)).repeat(2, axis=1)[:, :18], 10, 20
    page = Image.fromarray(chart(cells, pitch, line=(200, 200, 200), margin=margin))
    pen, font = ImageDraw.Draw(page), ImageFont.load_default(7)
    rows, columns = cells.shape[:2]
    for column in range(columns):
        x = margin + (column + 0.5) * pitch
        for y, anchor in ((margin - 3, "mb"), (margin + rows * pitch + 3, "mt")):
            pen.text((x, y), str(column + 1), fill=(30, 30, 30), font=font, anchor=anchor)
    for row in range(rows):
        y = margin + (row + 0.5) * pitch
        for x, anchor in ((margin - 3, "rm"), (margin + columns * pitch + 3, "lm")):
            pen.text((x, y), str(row + 1), fill=(30, 30, 30), font=font, anchor=anchor)
    assert_read(find_charts(np.asarray(page)), cells)


@pytest.mark.parametrize("seed", [1, 4])
def test_lines_in_doubt_rule_a_chart_where_cells_are_found_between_them(seed):
    # No two cells side by side are of one colour, so that no line is seen on a plain ground.
    rng = np.random.default_rng(seed)
    one, other = rng.integers(0, 3, (10, 1)), rng.integers(3, 7, (1, 13))
    cells = PLAID[np.where(np.indices((10, 13)).sum(axis=0) % 2 == 0, one, other)]
    page = Image.fromarray(chart(cells, 14, line=(90, 90, 90), margin=35)).resize((240, 205), Image.Resampling.BICUBIC)
    reading = read_picture(saved(page, "JPEG", quality=75))
    assert reading.kind == "chart" and reading.grid.filled.shape == (10, 13)
    assert (ciede2000(srgb_to_lab(reading.grid.rgb), srgb_to_lab(cells)) <= 5).mean() >= 0.99
