"""The ground around a drawing is told by how much of the edge it wears and by the corners; a sky is of the drawing.

The rules are common practice of looking at pictures, no source.
"""

from __future__ import annotations

import numpy as np
from PIL import Image

from planner.picture import read_picture
from planner.picture.background import running_background
from planner.picture.doubt import ground_in_doubt
from planner.picture.surround import is_band
from tests.support.picture_files import saved

PAGE, RIM, PLATE, INK = (240, 236, 220), (70, 50, 110), (150, 140, 200), (30, 24, 40)
COLOURS = np.array([PAGE, RIM, PLATE, INK], dtype=np.uint8)


def read(rows: str):
    """A picture of one digit a cell, 0 the page, at seven pixels a cell."""
    cells = COLOURS[np.array([[int(digit) for digit in row] for row in rows.split()])]
    return read_picture(saved(Image.fromarray(cells.repeat(7, axis=0).repeat(7, axis=1))))


def test_a_plate_cut_to_its_rounded_corners_lies_on_the_ground_that_shows_in_them():
    reading = read("011111111110 122222222221 122332233221 123222322321 122332233221 122222222221 011111111110")
    background = ~reading.grid.filled
    assert background.sum() == 4 and background[[0, 0, -1, -1], [0, -1, 0, -1]].all()


def test_a_bust_cut_to_its_outline_stands_before_the_ground_beside_its_head():
    reading = read("0003333000 0033333300 0032222300 0022222200 0022322300 0022222200 0002222000 1111111111 1111111111")
    assert (~reading.grid.filled).sum() == 6 + 4 + 4 + 4 + 4 + 4 + 6
    assert not reading.grid.filled[0, 0] and reading.grid.filled[-1].all()


def test_a_sky_over_a_whole_scene_is_no_ground():
    reading = read(
        "000000000000 000022000000 000022000000 000000000000 000000330000 113300331100 111111111111 133113311331"
    )
    assert reading.grid.filled.all()


def test_a_floor_and_a_moon_of_one_colour_are_both_of_the_scene():
    reading = read(
        "111111111100 111111111100 222222222222 223333332222 223333332222 113333331111 113333331111 000000000000"
    )
    assert reading.grid.filled.all()


def test_the_corners_of_a_quilt_are_of_it_where_most_of_their_colour_lies_enclosed():
    half = ["0012332100", "0332112330", "1300330031", "2200000022", "3100220013"]
    assert read(" ".join(half + half[::-1])).grid.filled.all()


def test_a_ground_that_hardly_counts_for_more_than_none_is_in_doubt():
    """A head with as much of the edge as the ground has."""
    sure = read("0000000000 0033333300 0032222300 0022222200 0022322300 0022222200 0002222000 0111111110 0111111110")
    unsure = read("0033333300 0033333300 0032222300 0022222200 0022322300 0022222200 0111111110 1111111111 1111111111")
    assert sure.sure and not unsure.sure


def test_a_wide_sky_may_as_well_be_the_page_behind_a_bust_and_is_not_sure():
    """Shoulders from side to side close the page off below, as the land does the sky."""
    cells = np.full((17, 12, 3), (213, 206, 186), dtype=np.uint8)
    cells[3:13, 1:11], cells[13:], cells[6:8, 3:5] = (207, 175, 140), (222, 206, 148), (70, 118, 120)
    assert ground_in_doubt(cells)
    assert not read_picture(saved(Image.fromarray(cells.repeat(9, axis=0).repeat(9, axis=1)))).sure
    # A low one is a sky.
    cells[3:13, [0, -1]] = (40, 90, 60)
    assert not ground_in_doubt(cells)


def test_a_sky_over_waves_that_are_not_the_same_on_both_sides_is_plainly_one():
    """Clothes are of few colours, or cut alike on both sides."""
    cells = np.full((20, 18, 3), (150, 210, 240), dtype=np.uint8)
    cells[4:13, 8], cells[6:12, 9:13] = (60, 40, 30), (230, 120, 60)
    cells[13:15, 4:15] = (110, 60, 30)
    cells[15:] = (40, 100, 160)
    cells[[15, 16, 17, 18, 18, 19, 19, 19, 19, 19], [0, 7, 17, 1, 9, 1, 5, 8, 12, 15]] = (120, 180, 220)
    assert not ground_in_doubt(cells)
    cells[15:, 9:] = cells[15:, 8::-1]
    assert ground_in_doubt(cells)


def test_a_colour_that_comes_to_the_edge_in_many_places_and_goes_on_within_is_a_patterns():
    """As in a quilt, whose edge one of its colours wears by nearly as much as a ground must."""
    blocks = np.array([[3, 2, 2, 1], [1, 0, 0, 0], [0, 3, 2, 3]])
    cells = COLOURS[np.kron(np.tile(blocks, (3, 3)), np.ones((2, 2), dtype=int))]
    edge = np.concatenate([cells[0], cells[-1], cells[1:-1, 0], cells[1:-1, -1]])
    assert 0.3 < (edge == COLOURS[3]).all(axis=1).mean() < 0.4
    assert not ground_in_doubt(cells)


def test_a_sky_goes_as_deep_all_along_as_at_its_sides_and_the_ground_beside_a_gable_does_not():
    sky = np.zeros((12, 16), dtype=bool)
    sky[:5] = True
    assert is_band(sky) and is_band(sky[::-1]) and is_band(sky.T)
    columns = np.abs(np.arange(16) - 7.5)
    gable = np.arange(12)[:, None] < np.maximum(1, (5 * columns / 7.5).round())
    assert gable[0].all() and not is_band(gable)


def test_what_most_cells_wear_on_every_side_is_the_ground_of_a_dashed_frame():
    """Every second cell of the edge is drawn, the corners among them."""
    cells = np.zeros((11, 11), dtype=int)
    cells[[0, -1], ::2] = cells[::2, [0, -1]] = 1
    cells[4:6, 5] = 3
    reading = read(" ".join("".join(map(str, row)) for row in cells))
    assert np.array_equal(reading.grid.filled, cells > 0)


def test_what_most_cells_wear_speckled_is_no_ground_but_the_middle_of_a_dithered_scene():
    """From dark at the top left to light at the bottom right, by ordered dithering."""
    steps = np.array([[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]]) / 16
    down, across = np.mgrid[0:1:28j, 0:1:32j]
    cells = np.floor(down + across + np.tile(steps, (7, 8))).astype(int)
    assert (cells == 1).mean() > 0.5
    reading = read(" ".join("".join(map(str, row)) for row in cells))
    assert reading.grid.filled.all()


def dusk(noise: float) -> np.ndarray:
    """A scene in bands, darkest at the top and nearly as dark at the bottom, its cells a little off as files leave
    them."""
    bands = np.array([(38, 27, 52), (70, 50, 100), (110, 90, 150), (96, 140, 120), (60, 60, 140), (30, 24, 70)])
    cells = bands.repeat(4, axis=0)[:, None].repeat(20, axis=1).astype(float)
    cells[:3, 8:12] = (160, 160, 220)
    cells[-4, ::3] = bands[4]
    return cells + np.random.default_rng(3).normal(0, noise, cells.shape)


def test_dark_bands_at_both_ends_of_a_scene_are_no_ground_that_runs_from_one_to_the_other():
    assert running_background(dusk(1.2)) is None


def test_a_ground_that_runs_is_one_on_both_sides_of_what_cuts_it_in_two():
    down, across = np.mgrid[0:1:16j, 0:1:14j][..., None]
    cells = np.array((200.0, 190, 230)) - 60 * down - np.array((0.0, 30, 60)) * across
    cells[:, 6:9] = (40, 90, 60)
    ground = running_background(cells)
    assert ground is not None and np.array_equal(~ground, (cells == (40, 90, 60)).all(axis=2))


def test_a_page_dithered_in_two_colours_is_kept_as_drawn_and_called_unsure():
    """Half of its cells may be meant as the page, all of them, or none: only the maker knows."""
    cells = np.where((np.indices((15, 15)).sum(axis=0) % 2 == 0)[..., None], PAGE, PLATE).astype(np.uint8)
    cells[4:11, 4:11] = RIM
    cells[6:9, 6:9] = INK
    for times in (1, 6):
        reading = read_picture(saved(Image.fromarray(cells.repeat(times, axis=0).repeat(times, axis=1))))
        assert (reading.grid.rgb == cells).all() and reading.grid.filled.all() and not reading.sure
