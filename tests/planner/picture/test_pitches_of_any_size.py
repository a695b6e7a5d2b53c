"""Enlarged by any pitch and rule of rounding, whole, on a page or cut, a picture without loss comes back exactly."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.lossless import exact_readings
from planner.picture.reading import _changes_lie_apart
from tests.pictures.degrade import case
from tests.pictures.truths import truths
from tests.support.picture_files import saved, speckled

FACES = [
    np.asarray(Image.open(path).convert("RGBA"))
    for path in sorted((Path(__file__).parents[2] / "pictures").glob("face-*.png"))
]
RULES = {"floor": np.floor, "round": np.rint, "ceil": np.ceil}


def nearest(cells: np.ndarray, height: int, width: int, rule: str) -> np.ndarray:
    """Each pixel of one cell; cells meet at the multiples of the pitch, rounded by ``rule``."""
    taken = []
    for count, side in zip(cells.shape[:2], (height, width), strict=True):
        meets = RULES[rule](np.arange(1, count) * side / count)
        taken.append(np.searchsorted(meets, np.arange(side), side="right"))
    return cells[np.ix_(*taken)]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("pitch", [2.6, 3.4, 5.75, 11.2, 31.9])
def test_a_face_at_an_uneven_pitch_is_read_cell_for_cell(pitch, rule):
    for face in FACES:
        side = round(16 * pitch)
        reading = read_picture(saved(Image.fromarray(nearest(face, side, side, rule))))
        assert (reading.kind, reading.grid.rows, reading.grid.columns) == ("scaled", 16, 16)
        assert (reading.grid.filled == (face[..., 3] == 255)).all()
        assert (reading.grid.rgb[reading.grid.filled] == face[face[..., 3] == 255][:, :3]).all()
        assert reading.pitch == pytest.approx(side / 16)


@pytest.mark.parametrize("middle", [0.0, 0.5])
@pytest.mark.parametrize("sides", [np.floor, np.ceil, np.rint])
@pytest.mark.parametrize("factor", [3.29, 5.46, 8.83])
def test_enlarged_by_a_factor_whose_last_cell_is_cut_to_whole_pixels_it_is_read_cell_for_cell(factor, sides, middle):
    """Each pixel shows the cell at its place over the factor, so that cells do not share the side out evenly."""
    rng = np.random.default_rng(5)
    for rows, columns in ((9, 14), (21, 30), (17, 44)):
        cells = rng.integers(0, 256, (rows, columns, 3), dtype=np.uint8)
        places = [
            ((np.arange(sides(n * factor)) + middle) / factor).astype(int).clip(0, n - 1) for n in (rows, columns)
        ]
        reading = read_picture(saved(Image.fromarray(cells[np.ix_(*places)])))
        assert (reading.kind, reading.cut) == ("scaled", False)
        assert (reading.grid.rgb == cells).all()


def test_a_picture_a_little_stretched_has_cells_a_little_wider_than_high():
    cells = speckled(20, 30)
    reading = read_picture(saved(Image.fromarray(nearest(cells, 147, 226, "floor"))))
    assert (reading.grid.rgb == cells).all()
    assert reading.lattice.corners[2] == pytest.approx((226, 147))


def test_random_grids_at_random_pitches_come_back():
    rng = np.random.default_rng(31)
    for _ in range(40):
        cells = rng.integers(0, 256, (*rng.integers(8, 49, 2), 3), dtype=np.uint8)
        pitch = rng.uniform(2.2, 20)
        height, width = (round(n * pitch) for n in cells.shape[:2])
        rule = str(rng.choice(list(RULES)))
        assert (read_picture(saved(Image.fromarray(nearest(cells, height, width, rule)))).grid.rgb == cells).all()


def test_a_page_of_one_colour_around_the_picture_is_left_out():
    cells = speckled(14, 18)
    page = np.full((150, 190, 3), (250, 244, 230), dtype=np.uint8)
    page[13 : 13 + 103, 29 : 29 + 132] = nearest(cells, 103, 132, "round")
    reading = read_picture(saved(Image.fromarray(page)))
    assert (reading.grid.rgb == cells).all()
    assert reading.lattice.corners[0] == pytest.approx((29, 13), abs=1)


def test_strokes_of_two_cells_are_offered_at_both_sizes():
    face = FACES[0].repeat(2, axis=0).repeat(2, axis=1)
    reading = read_picture(saved(Image.fromarray(face.repeat(6, axis=0).repeat(6, axis=1))))
    assert reading.grid.rows == 16
    assert 32 in {other.grid.rows for other in reading.others}


@pytest.mark.parametrize("quality", [60, 90])
def test_in_a_lossy_file_a_small_icon_may_be_one_in_strokes_of_two_and_is_not_sure(quality):
    icon = np.zeros((6, 8), dtype=bool)
    icon[[1, 4], 1:7] = icon[1:5, [1, 6]] = icon[3, 3:5] = True
    cells = np.where(icon[..., None], (40, 60, 120), (250, 248, 240)).astype(np.uint8)
    image = Image.fromarray(cells.repeat(20, axis=0).repeat(20, axis=1))
    reading = read_picture(saved(image, "JPEG", quality=quality))
    sizes = {reading.grid.columns, *(other.grid.columns for other in reading.others)}
    assert reading.grid.columns == 8 and 16 in sizes and not reading.sure


def test_a_drawing_of_one_pixel_a_cell_is_never_read_at_the_pitch_of_its_strokes():
    blocks = (Path(__file__).parents[2] / "pictures" / "icons.txt").read_text().strip().split("\n\n")
    for block in blocks:
        icon = np.array([[c == "#" for c in row] for row in block.split("\n")[1:]])
        best = exact_readings(icon.astype(np.uint32) + 1)[0]
        assert best.rows.pitch == 1 or best.nats > 3


def test_the_reading_says_where_its_cells_lie():
    reading = read_picture(saved(Image.fromarray(speckled(9, 7).repeat(8, axis=0).repeat(8, axis=1))))
    assert reading.lattice.corners == ((0, 0), (56, 0), (56, 72), (0, 72))
    assert (reading.pitch, reading.turn, reading.lines, reading.sure) == (8.0, 0.0, "", True)


def test_an_icon_that_may_as_well_be_a_smaller_one_enlarged_is_offered_as_both_and_is_not_sure():
    """Every edge of 29 by 29 pixels lies where cells of 2.4 pixels would meet; so few edges may do so by chance."""
    icon = np.zeros((12, 12), dtype=bool)
    icon[[2, 4, 6, 8, 9], 1:11] = True
    icon[2:10, [2, 4, 5]] = True
    places = np.arange(29) * 12 // 29
    large = np.where(icon[np.ix_(places, places)][..., None], (200, 60, 40), (250, 250, 240)).astype(np.uint8)
    reading = read_picture(saved(Image.fromarray(large)))
    assert {12, 29} <= {reading.grid.rows, *(other.grid.rows for other in reading.others)}
    assert not reading.sure


def test_a_large_picture_of_few_edges_is_not_cut_into_cells_of_two_pixels():
    """Shrunk to 17.6 pixels a cell by the mean of areas, cells meet sharply here and over a pixel there."""
    down = [18, 35, 70, 88, 105, 106, 123, 141, 158, 176, 193, 194, 211, 229, 246, 281]
    across = [18, 35, 53, 71, 88, 106, 141, 159, 176, 194, 212, 229]
    rows, columns = (np.searchsorted(places, np.arange(side), "right") for places, side in ((down, 299), (across, 247)))
    readings = exact_readings((1 + rows[:, None] + 100 * columns[None, :]).astype(np.uint32))
    assert not any(cells.cut for cells in readings)


def test_at_one_pixel_a_cell_a_drawing_changes_from_one_pixel_to_the_next():
    gaps = np.array([4, 5, 3, 6, 4, 3, 5, 7, 3, 4, 6, 5])
    blocks = np.arange(144, dtype=np.uint32).reshape(12, 12)
    assert _changes_lie_apart(blocks.repeat(gaps, axis=0).repeat(gaps[::-1], axis=1))
    # One line of a single pixel, or few changes, and it may be as fine as such pictures are.
    gaps[4] = 1
    assert not _changes_lie_apart(blocks.repeat(gaps, axis=0).repeat(gaps[::-1], axis=1))
    assert not _changes_lie_apart(blocks[:6, :6].repeat(4, axis=0).repeat(4, axis=1))


@pytest.mark.parametrize("pitch", [2.637, 3.192, 4.191])
def test_a_broken_last_row_of_pixels_is_no_page_around_the_picture(pitch):
    """What an uneven pitch leaves over at the end has the floor's colour, and the floor is part of the drawing."""
    cells = speckled(14, 22)
    cells[:5], cells[5], cells[-4:] = (120, 180, 230), (90, 140, 200), (70, 50, 40)
    height, width = (round(count * pitch) for count in cells.shape[:2])
    down, across = (np.minimum(((np.arange(side) + 0.5) / pitch).astype(int), n - 1)
                    for side, n in ((height, 14), (width, 22)))  # fmt: skip
    reading = read_picture(saved(Image.fromarray(cells[np.ix_(down, across)])))
    assert reading.grid.rgb.shape == cells.shape and reading.grid.filled[-4:].all()


def test_a_pitch_that_only_the_very_end_of_the_rounding_allows_is_no_rival():
    """16 cells on 46 pixels change nowhere that cells of three pixels, a whole pixel short of the side, would not."""
    face = next(truth for truth in truths("dev") if truth.name == "face-14")
    reading = read_picture(case("nearest", face, 812283).data)
    assert (reading.grid.rows, reading.grid.columns) == (16, 16) and reading.sure
    assert reading.pitch == 2.875


def test_strokes_of_two_with_half_a_stroke_of_margin_are_no_cells_cut_in_half():
    """At an uneven pitch larger cells, cut in half by the picture's edge, explain them as well: those are offered."""
    leaf = next(truth for truth in truths("held") if truth.name == "icon-leaf")
    reading = read_picture(case("nearest", leaf, 811155).data)
    assert (reading.grid.rows, reading.grid.columns) == (24, 24) and not reading.sure
    assert (12, 13) in {(other.grid.rows, other.grid.columns) for other in reading.others}


@pytest.mark.parametrize("pitch", [1.5, 1.6, 1.75, 1.9])
def test_a_dense_picture_whose_cells_are_one_pixel_or_two_is_read_cell_for_cell(pitch):
    dice = np.random.default_rng(71)
    colours = np.array([(30, 60, 120, 255), (230, 200, 150, 255), (120, 40, 50, 255), (250, 250, 250, 255)], np.uint8)
    cells = colours[dice.integers(0, 4, (36, 40))]
    height, width = round(36 * pitch), round(40 * pitch)
    reading = read_picture(saved(Image.fromarray(nearest(cells, height, width, "floor"))))
    assert (reading.grid.rows, reading.grid.columns) == (36, 40)
    assert (reading.grid.rgb == cells[..., :3]).all()


def test_a_blurred_enlargement_that_repeats_itself_is_not_taken_for_cells_of_a_pixel_or_two():
    """Twelve cells in 160 pixels: the same phases come round every three cells, as in cells of 4/3 pixels."""
    truth = next(truth for truth in truths("dev") if truth.name == "icon-music")
    reading = read_picture(case("blurred", truth, 31018).data)
    assert max(reading.grid.rows, reading.grid.columns) <= 24


@pytest.mark.parametrize("seed", [813071, 813197])
def test_strokes_with_half_a_cell_of_margin_are_not_cut_cells_however_the_program_rounded(seed):
    truth = next(truth for truth in truths("held") if truth.name == "icon-leaf")
    reading = read_picture(case("nearest", truth, seed).data)
    assert (reading.grid.rows, reading.grid.columns, reading.cut) == (24, 24, False)


def test_a_few_wide_strokes_without_a_mixed_colour_are_not_surely_cells_that_they_do_not_begin():
    picture = np.full((141, 142, 4), 0, np.uint8)
    for top, bottom, left, right in ((11, 23, 43, 103), (23, 119, 49, 61), (23, 119, 85, 97), (77, 89, 49, 97)):
        picture[top:bottom, left:right] = (40, 90, 160, 255)
    picture[119:131, 61:85] = (40, 90, 160, 255)
    reading = read_picture(saved(Image.fromarray(picture)))
    assert not reading.sure
    assert (20, 10) in [(one.grid.rows, one.grid.columns) for one in (reading, *reading.others)]
