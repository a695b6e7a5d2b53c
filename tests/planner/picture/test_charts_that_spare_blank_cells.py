"""Charts with lines round the filled cells only are read to the last cell of the drawing, and no further."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from planner.picture.charts import find_charts

PAPER = (250, 246, 240)
INK = (70, 70, 74)


def heart(colour=(150, 30, 60), trim=(40, 120, 90)):
    """A heart of 17 by 14 cells, with one cell at its tip and two at each side."""
    rows = [
        "...###.....###...",
        ".######...######.",
        "########.########",
        "#################",
        ".###############.",
        ".###############.",
        "..#############..",
        "...###########...",
        "....#########....",
        ".....#######.....",
        "......#####......",
        ".......###.......",
        "........#........",
        "........#........",
    ]
    drawn = np.array([[mark == "#" for mark in row] for row in rows])
    cells = np.where(drawn[..., None], colour, PAPER).astype(np.uint8)
    cells[:4][drawn[:4]] = trim
    return cells, drawn


def large_heart():
    """The same four times as large, with a single cell more at each side and its tip."""
    _, drawn = heart()
    drawn = np.pad(drawn.repeat(2, axis=0).repeat(2, axis=1), ((0, 1), (1, 1)))
    drawn[7, [0, -1]] = drawn[-1, 17] = True
    return np.where(drawn[..., None], (150, 30, 60), PAPER).astype(np.uint8), drawn


def bust():
    """A head on a neck two cells wide, above shoulders."""
    drawn = np.zeros((16, 14), dtype=bool)
    drawn[0:9, 2:12] = drawn[9:12, 6:8] = drawn[12:, 1:13] = True
    cells = np.where(drawn[..., None], (200, 150, 110), PAPER).astype(np.uint8)
    cells[12:][drawn[12:]] = (120, 200, 170)
    return cells, drawn


def sparing(cells, drawn, pitch, wide=2, margin=50, ink=INK):
    """A page with the cells on it, lines drawn on the sides of the drawn ones only."""
    rows, columns = drawn.shape
    page = Image.new("RGB", (columns * pitch + 2 * margin, rows * pitch + 2 * margin), PAPER)
    pen = ImageDraw.Draw(page)
    for row, column in np.argwhere(drawn):
        left, top = margin + column * pitch, margin + row * pitch
        pen.rectangle((left, top, left + pitch - 1, top + pitch - 1), tuple(cells[row, column].tolist()))
    for row, column in np.argwhere(drawn):
        left, top = margin + column * pitch - wide // 2, margin + row * pitch - wide // 2
        for x, y in ((left, top), (left + pitch, top)):
            pen.rectangle((x, y, x + wide - 1, y + pitch + wide - 1), ink)
        for x, y in ((left, top), (left, top + pitch)):
            pen.rectangle((x, y, x + pitch + wide - 1, y + wide - 1), ink)
    return page


def size_of(page):
    best = find_charts(np.asarray(page))[0]
    return best.lattice.rows, best.lattice.columns


@pytest.mark.parametrize("drawing", [heart, large_heart, bust])
@pytest.mark.parametrize(("pitch", "wide", "margin"), [(13, 1, 20), (18, 3, 50), (31, 2, 34)])
def test_the_frame_reaches_to_the_outermost_cell_though_it_is_alone_in_its_row(drawing, pitch, wide, margin):
    cells, drawn = drawing()
    columns = np.flatnonzero(drawn.any(axis=0))
    assert size_of(sparing(cells, drawn, pitch, wide, margin)) == (len(drawn), columns[-1] - columns[0] + 1)


def test_numerals_beside_the_drawing_are_not_reached():
    cells, drawn = large_heart()
    pitch, margin = 16, 64
    page = sparing(cells, drawn, pitch, margin=margin)
    pen, font = ImageDraw.Draw(page), ImageFont.load_default(9)
    for row in range(len(drawn)):
        pen.text((margin - 36, margin + (row + 0.5) * pitch), str(row + 1), fill=(0, 0, 0), font=font, anchor="mm")
    assert size_of(page) == drawn.shape


@pytest.mark.parametrize("table", [(40, 44, 50), (120, 82, 52)])
def test_neither_slanting_light_nor_a_table_hides_that_blank_cells_are_spared(table):
    cells, drawn = bust()
    page = sparing(cells, drawn, 22, 2, margin=60)
    whole = Image.new("RGB", (page.width + 240, page.height + 240), table)
    whole.paste(page, (120, 120))
    light = np.linspace(1.0, 0.72, whole.width)[None, :, None]
    seen = Image.fromarray((np.asarray(whole) * light).astype(np.uint8))
    assert size_of(seen) == (16, 12)


def test_a_drawing_nearly_as_pale_as_its_page_is_reached_as_well():
    cells, drawn = heart((236, 236, 222), (228, 238, 226))
    assert size_of(sparing(cells, drawn, 18, 3, ink=(40, 180, 130))) == drawn.shape
