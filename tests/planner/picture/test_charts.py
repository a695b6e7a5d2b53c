"""Charts are read by their ruled lines, and what has no ruled lines is no chart."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from planner.picture.charts import find_charts
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.truths import truths
from tests.pictures.warping import perspective, turned, upright

PAPER = (255, 255, 255)
FACE = next(truth for truth in truths("dev") if truth.name.startswith("face"))


def face(paper=PAPER):
    """The cells of a face on paper, with a blank row above and two blank columns to the left."""
    cells = np.where(FACE.clear[..., None], paper, FACE.rgb).astype(np.uint8)
    whole = np.empty((cells.shape[0] + 1, cells.shape[1] + 2, 3), dtype=np.uint8)
    whole[:] = paper
    whole[1:, 2:] = cells
    return whole


def chart(cells, pitch=12, line=(120, 120, 120), wide=1, heavy=0, margin=25, paper=PAPER):
    """A page with the cells on it and a line on every side of every cell, heavier each ``heavy``."""
    rows, columns = cells.shape[:2]
    page = np.empty((rows * pitch + 2 * margin + 3, columns * pitch + 2 * margin + 3, 3), dtype=np.uint8)
    page[:] = paper
    inside = page[margin : margin + rows * pitch, margin : margin + columns * pitch]
    inside[:] = cells.repeat(pitch, axis=0).repeat(pitch, axis=1)
    for count, axis in ((rows, 0), (columns, 1)):
        for place in range(count + 1):
            width = wide + 2 if heavy and place % heavy == 0 else wide
            first = margin + place * pitch - width // 2
            along = slice(margin, margin + (columns if axis == 0 else rows) * pitch + 1)
            page[(slice(first, first + width), along) if axis == 0 else (along, slice(first, first + width))] = line
    return page


def corners(cells, pitch=12, margin=25):
    first = margin + 0.5
    return upright(first, first, first + cells.shape[1] * pitch, first + cells.shape[0] * pitch)


def assert_read(found, cells, places=None):
    assert found, "no chart was found"
    best = found[0]
    assert (best.lattice.rows, best.lattice.columns) == cells.shape[:2]
    off = ciede2000(srgb_to_lab(best.rgb), srgb_to_lab(cells))
    assert (off <= 5).mean() >= 0.99
    if places is not None:
        assert np.abs(np.array(best.lattice.corners) - np.array(places)).max() < 0.2 * best.lattice.pitch


@pytest.mark.parametrize("pitch", [6, 9, 17, 33])
def test_thin_lines_rule_a_chart_of_small_cells_and_of_large_ones(pitch):
    assert_read(find_charts(chart(face(), pitch)), face(), corners(face(), pitch))


def test_blank_rows_and_columns_between_the_lines_are_cells_of_the_chart():
    cells = np.pad(face(), ((0, 5), (0, 7), (0, 0)), constant_values=255)
    assert_read(find_charts(chart(cells)), cells, corners(cells))


@pytest.mark.parametrize("every", [5, 10])
def test_heavier_lines_are_told_and_do_not_stand_for_the_cells(every):
    found = find_charts(chart(face(), heavy=every))
    assert_read(found, face())
    assert found[0].lines == f"thin grey lines, heavier every {every}"


def test_light_lines_rule_a_dark_page():
    dark = (28, 30, 36)
    found = find_charts(chart(face(dark), line=(235, 235, 235), paper=dark))
    assert_read(found, face(dark))
    assert "light lines" in found[0].lines
    assert found[0].paper.tolist() == list(dark)


def test_lines_as_thick_as_a_quarter_of_a_cell_are_lines():
    found = find_charts(chart(face(), line=(0, 0, 0), wide=3))
    assert_read(found, face())
    assert found[0].lines.startswith("thick dark lines")


@pytest.mark.parametrize(("pitch", "wide"), [(18, 4), (24, 5), (60, 9), (100, 20)])
def test_lines_may_be_many_pixels_wide_where_cells_are_large(pitch, wide):
    cells = face()
    found = find_charts(chart(cells, pitch, wide=wide, margin=40))
    first = 40 + wide % 2 / 2
    places = upright(first, first, first + cells.shape[1] * pitch, first + cells.shape[0] * pitch)
    assert_read(found, cells, places)


def test_numerals_along_the_sides_are_no_cells():
    page = Image.fromarray(chart(face(), 16))
    pen = ImageDraw.Draw(page)
    for column in range(face().shape[1]):
        pen.text((25 + 16 * column + 4, 10), str(column % 10), fill=(0, 0, 0))
    for row in range(face().shape[0]):
        pen.text((12, 25 + 16 * row + 2), str(row % 10), fill=(0, 0, 0))
    assert_read(find_charts(np.asarray(page)), face(), corners(face(), 16))


def test_a_chart_that_lies_a_little_turned_is_read():
    page, places = turned(chart(face(), 14), corners(face(), 14), 1.4, PAPER, True, True)
    found = find_charts(page)
    assert_read(found, face(), places)
    assert found[0].lattice.turn == pytest.approx(1.4, abs=0.2)


def test_a_chart_seen_askew_in_uneven_light_has_every_colour_once():
    page, places, _ = perspective(chart(face(), 18), corners(face(), 18), (90, 110, 80), 0.08, np.random.default_rng(3))
    fall = np.linspace(1.0, 0.8, page.shape[1])[None, :, None]
    found = find_charts((page * fall).round().astype(np.uint8))
    assert (found[0].lattice.rows, found[0].lattice.columns) == face().shape[:2]
    assert np.abs(np.array(found[0].lattice.corners) - np.array(places)).max() < 3
    for colour in np.unique(face().reshape(-1, 3), axis=0):
        same = found[0].rgb[(face() == colour).all(axis=2)].astype(int)
        assert np.ptp(same, axis=0).max() <= 6, f"what was drawn in {colour} is read in several colours"


def bricks():
    wall = np.full((64, 64, 3), (170, 80, 60), dtype=np.uint8)
    wall[::4] = 200
    for course in range(16):
        wall[4 * course : 4 * course + 4, (course % 2) * 4 :: 8] = 200
    return wall


def squares(size):
    y, x = np.mgrid[0:48, 0:48]
    return np.where(((x // size + y // size) % 2)[..., None], (40, 60, 90), (230, 220, 200)).astype(np.uint8)


def stripes():
    cells = np.full((48, 48, 3), (230, 220, 200), dtype=np.uint8)
    cells[::3] = (40, 60, 90)
    return cells


UNRULED = {
    "bricks": bricks(),
    "squares": squares(1),
    "large squares": squares(4),
    "stripes": stripes(),
    "a face": face(),
    "one colour": np.full((60, 60, 3), 90, dtype=np.uint8),
}


@pytest.mark.parametrize("name", UNRULED)
@pytest.mark.parametrize("size", [2, 3, 8, 14])
def test_enlarged_drawings_without_ruled_lines_are_no_charts(name, size):
    assert find_charts(UNRULED[name].repeat(size, axis=0).repeat(size, axis=1)) == []


@pytest.mark.parametrize("name", UNRULED)
@pytest.mark.parametrize("size", [6, 11, 13])
def test_smoothly_enlarged_drawings_are_no_charts(name, size):
    picture = Image.fromarray(UNRULED[name])
    large = picture.resize((picture.width * size, picture.height * size), Image.Resampling.BICUBIC)
    assert find_charts(np.asarray(large)) == []


def test_a_few_pixels_are_no_chart():
    assert find_charts(np.zeros((9, 9, 3), dtype=np.uint8)) == []
