"""A chart ends with its own last row: neither numerals beside it nor a box around them are rows, and colours of the
drawing that go on beyond the lines that are seen are."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from planner.picture import read_picture
from planner.picture.charts import find_charts
from tests.planner.picture.test_charts import chart, face

PAPER = (244, 240, 232)


def numbered(cells, pitch, margin, pen_colour=(0, 0, 0), box=0, size=0.55, gap=4, **ruling):
    """A page with a numeral beside every row and column, a box around them ``box`` pixels off the frame."""
    page = Image.fromarray(chart(cells, pitch, margin=margin, paper=PAPER, **ruling))
    pen, font = ImageDraw.Draw(page), ImageFont.load_default(round(size * pitch))
    rows, columns = cells.shape[:2]
    right, bottom = margin + columns * pitch, margin + rows * pitch
    for column in range(columns):
        x = margin + (column + 0.5) * pitch
        pen.text((x, margin - gap), str(column + 1), fill=pen_colour, font=font, anchor="mb")
        pen.text((x, bottom + gap), str(column + 1), fill=pen_colour, font=font, anchor="mt")
    for row in range(rows):
        y = margin + (row + 0.5) * pitch
        pen.text((margin - gap, y), str(row + 1), fill=pen_colour, font=font, anchor="rm")
        pen.text((right + gap, y), str(row + 1), fill=pen_colour, font=font, anchor="lm")
    if box:
        pen.rectangle((margin - box, margin - box, right + box, bottom + box), outline=ruling["line"], width=2)
    return page


def size_of(page):
    best = find_charts(np.asarray(page))[0]
    return best.lattice.rows, best.lattice.columns


def lossy(page, quality, blur=0.0):
    file = io.BytesIO()
    page.filter(ImageFilter.GaussianBlur(blur)).save(file, "JPEG", quality=quality)
    return file.getvalue()


@pytest.mark.parametrize(("pitch", "box"), [(18, 19), (18, 27), (30, 32), (30, 36)])
def test_a_box_around_numerals_is_no_line_of_the_chart(pitch, box):
    cells = face(PAPER)
    page = numbered(cells, pitch, 60, box=box, line=(40, 40, 44), wide=2)
    assert size_of(Image.open(io.BytesIO(lossy(page, 60, 0.6)))) == cells.shape[:2]


@pytest.mark.parametrize(("pitch", "box"), [(14, 15), (18, 19), (22, 23), (22, 44)])
def test_nothing_but_a_box_speaks_for_a_row_of_page_on_which_lines_are_too_faint_to_be_seen(pitch, box):
    cells = np.full((16, 14, 3), (120, 150, 130), dtype=np.uint8)
    cells[8:], cells[11:], cells[3:6, 2:5] = (30, 70, 40), (110, 90, 60), (190, 150, 60)
    page = numbered(cells, pitch, 60, box=box, size=0.3, line=(218, 218, 218))
    assert size_of(Image.open(io.BytesIO(lossy(page, 75, 0.6)))) == cells.shape[:2]


@pytest.mark.parametrize("pitch", [16, 22])
@pytest.mark.parametrize("line", [(205, 205, 205), (187, 187, 187)])
def test_bold_numerals_beside_faint_lines_are_no_row(pitch, line):
    cells = np.full((14, 16, 3), (150, 190, 210), dtype=np.uint8)
    cells[8:], cells[4:10, 5:11] = (60, 140, 90), (220, 190, 70)
    page = numbered(cells, pitch, 50, line=line, size=0.62, gap=3)
    assert size_of(Image.open(io.BytesIO(lossy(page, 70, 0.7)))) == cells.shape[:2]


def test_thick_lines_and_numerals_all_round_on_a_table():
    cells = face(PAPER).repeat(2, axis=0).repeat(2, axis=1)
    page = numbered(cells, 15, 46, line=(0, 0, 0), wide=4, heavy=10)
    table = Image.new("RGB", (page.width + 80, page.height + 80), (112, 74, 48))
    table.paste(page, (40, 40))
    seen = table.rotate(0.8, Image.Resampling.BICUBIC, fillcolor=(112, 74, 48))
    assert size_of(Image.open(io.BytesIO(lossy(seen, 70, 0.7)))) == cells.shape[:2]


def test_a_drawing_that_goes_on_beyond_the_lines_that_are_seen_is_read_whole_and_never_surely():
    """Green lines over a sky, hills and a meadow of their own green."""
    line, columns = (66, 134, 92), 26
    cells = np.full((20, columns, 3), (228, 198, 170), dtype=np.uint8)
    cells[6:9], cells[9:11, 3:12] = (150, 214, 150), (88, 84, 134)
    cells[9:, 12:] = cells[11:] = (70, 138, 96)
    page = Image.fromarray(chart(cells, 14, margin=45, line=line, paper=PAPER))
    reading = read_picture(lossy(page, 75, 0.8))
    assert reading.grid.filled.shape == cells.shape[:2]
    assert not reading.sure
