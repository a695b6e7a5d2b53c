"""A picture that was turned is read whatever margin it stands in and whatever fills the corners."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.aside import rectangle_in_frame
from planner.picture.choosing import upright_grids
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.picture.tilt import still_turned
from planner.picture.turning import fill_within, sizes_before, turned_back
from planner.picture.working import Working
from tests.support.picture_files import saved

PAGE, BLACK, WHITE = (214, 236, 240), (0, 0, 0), (255, 255, 255)
INKS = np.array([(40, 90, 160), (170, 40, 60), (230, 150, 30), (20, 110, 80)], dtype=np.uint8)


def strewn(rows: int, columns: int, seed: int = 4) -> np.ndarray:
    """A cloth of four inks, none of it in blocks of two."""
    return INKS[np.random.default_rng(seed).integers(0, 4, (rows, columns))]


def with_margins(cells: np.ndarray, pitch: int, margins: tuple[float, float, float, float]) -> Image.Image:
    """The cells enlarged, with margins (top, bottom, left, right) of so many cells on the page."""
    top, bottom, left, right = (round(pitch * margin) for margin in margins)
    large = cells.repeat(pitch, axis=0).repeat(pitch, axis=1)
    page = np.full((large.shape[0] + top + bottom, large.shape[1] + left + right, 3), PAGE, dtype=np.uint8)
    page[top : top + large.shape[0], left : left + large.shape[1]] = large
    return Image.fromarray(page)


def share_right(reading, truth: np.ndarray) -> float:
    if reading.grid.rgb.shape != truth.shape:
        return 0.0
    return float((ciede2000(srgb_to_lab(reading.grid.rgb), srgb_to_lab(truth)) < 5).mean())


@pytest.mark.parametrize("margins", [(0.5, 0.5, 0.5, 0.5), (1.5, 1, 2.5, 0.5), (0.5, 2, 1, 1.5)])
@pytest.mark.parametrize("degrees", [-1.6, 0.7])
def test_half_a_cell_of_margin_does_not_make_cells_half_as_large(margins, degrees):
    truth = strewn(11, 14)
    turned = with_margins(truth, 14, margins).rotate(-degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=PAGE)
    reading = read_picture(saved(turned))
    assert share_right(reading, truth) >= 0.99 and reading.turn == pytest.approx(degrees, abs=0.1)


@pytest.mark.parametrize("fill", [BLACK, WHITE])
@pytest.mark.parametrize("expand", [False, True])
def test_what_fills_the_corners_is_no_part_of_the_picture(fill, expand):
    truth = strewn(12, 10)
    upright = with_margins(truth, 16, (1.5, 1, 1, 1.5))
    turned = upright.rotate(1.4, Image.Resampling.BILINEAR, expand=expand, fillcolor=fill)
    assert share_right(read_picture(saved(turned, "JPEG", quality=90)), truth) >= 0.99


@pytest.mark.parametrize("expand", [False, True])
def test_the_size_before_it_was_turned_is_seen_by_what_fills_the_corners(expand):
    upright = with_margins(strewn(12, 20), 15, (1, 1, 1, 1))
    for fill in (BLACK, PAGE):
        turned = upright.rotate(-1.2, Image.Resampling.BICUBIC, expand=expand, fillcolor=fill)
        values = np.asarray(turned).astype(np.float32)
        kept, given_room = (fill_within(values, 1.2, size) for size in sizes_before(*turned.size, 1.2))
        if fill == PAGE:
            assert min(kept, given_room) > 0.95
        else:
            assert (given_room if expand else kept) < 0.05 < (kept if expand else given_room)


@pytest.mark.parametrize("size", [(203, 151), (340, 341)])
@pytest.mark.parametrize("degrees", [0.4, -1.7, 3.3])
def test_the_size_before_is_known_to_a_pixel_though_the_room_it_was_given_was_rounded_up(size, degrees):
    turned = Image.new("RGB", size).rotate(degrees, expand=True)
    room = sizes_before(*turned.size, degrees)[1]
    # Rounded up at both ends, by two pixels at the most, in the mean by one.
    assert max(abs(one - other) for one, other in zip(room, size, strict=True)) < 1.5


@pytest.mark.parametrize("thick", [1, 2])
@pytest.mark.parametrize("degrees", [-0.8, 1.5])
def test_an_outline_around_a_drawing_on_turned_paper_is_no_ground_of_it(degrees, thick):
    truth = np.full((15, 18, 3), INKS[0])
    truth[thick:-thick, thick:-thick] = strewn(15 - 2 * thick, 18 - 2 * thick)
    upright = with_margins(truth, 11, (1, 1, 1, 1))
    reading = read_picture(saved(upright.rotate(-degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=PAGE)))
    assert reading.grid.filled.sum() == 15 * 18


def test_the_grid_tells_how_far_a_copy_is_still_turned():
    turned = with_margins(strewn(18, 18), 12, (0, 0, 0, 0)).rotate(-1.5, Image.Resampling.BICUBIC, fillcolor=PAGE)
    for guess in (1.2, 1.45, 1.9):
        values, _ = turned_back(np.asarray(turned).astype(np.float32), guess, tuple(map(float, turned.size)))
        assert guess + still_turned(values, 12.0, 12.0) == pytest.approx(1.5, abs=0.05)


def test_strokes_of_two_cells_with_a_few_of_one_are_not_read_at_half_the_size():
    cells = strewn(7, 7).repeat(2, axis=0).repeat(2, axis=1)
    cells[3, 5:7], cells[8, 2], cells[11:13, 9] = INKS[0] // 2, 255 - INKS[1], INKS[2] // 3
    large = np.asarray(with_margins(cells, 15, (0, 0, 0, 0))).astype(np.float32)
    best = upright_grids(Working(large, 1.0, 1.0))[0]
    assert (best.rows.count, best.columns.count) == (14, 14)


@pytest.mark.parametrize("margins", [(0.5, 0.5, 0.5, 0.5), (1.5, 1, 0, 2.5), (0, 0.5, 1, 1)])
def test_upright_cells_with_half_a_cell_of_margin_are_offered_and_no_others_called_sure(margins):
    truth = strewn(9, 12)
    for pitch in (8, 14, 21):
        reading = read_picture(saved(with_margins(truth, pitch, margins)))
        right = [abs(one.lattice.pitch - pitch) < 0.01 for one in (reading, *reading.others)]
        assert any(right) and (right[0] or not reading.sure)


def test_a_turned_picture_on_its_page_is_called_sure_and_one_whose_cells_the_edge_may_cut_is_not():
    truth = strewn(12, 15)
    for margins, sure in (((1.5, 1.5, 1.5, 1.5), True), ((0, 1.3, 0.6, 0), False)):
        turned = with_margins(truth, 16, margins).rotate(-1.3, Image.Resampling.BICUBIC, expand=True, fillcolor=PAGE)
        reading = read_picture(saved(turned))
        assert share_right(reading, truth) >= 0.99 if sure else True
        assert reading.sure is sure


def to_its_edges() -> np.ndarray:
    """A cloth with threads to all four edges of 14 by 12 cells, on the ground of the page."""
    cells = np.full((14, 12, 3), PAGE, dtype=np.uint8)
    cells[1:-1, 1:-1] = strewn(12, 10)
    cells[0, 4:7] = cells[-1, 2:9] = INKS[0]
    cells[5:8, 0] = cells[6:12, -1] = INKS[1]
    return cells


@pytest.mark.parametrize("degrees", [-1.2, 1.6])
def test_a_drawing_that_was_given_little_room_to_turn_is_whole_from_end_to_end(degrees):
    turned = with_margins(to_its_edges(), 15, (0.3,) * 4).rotate(degrees, Image.Resampling.BICUBIC, fillcolor=PAGE)
    reading = read_picture(saved(turned))
    assert reading.sure and share_right(reading, to_its_edges()) >= 0.99


@pytest.mark.parametrize("degrees", [-1.8, 1.2])
@pytest.mark.parametrize("pitch", [7, 9])
def test_half_a_cell_of_page_beside_a_turned_drawing_wears_nothing_of_it(degrees, pitch):
    turned = with_margins(to_its_edges(), pitch, (0.46,) * 4).rotate(degrees, Image.Resampling.BICUBIC, fillcolor=PAGE)
    filled = read_picture(saved(turned)).grid.filled
    assert filled.any(axis=1).sum() == 14 and filled.any(axis=0).sum() == 12


def test_cells_that_turning_cut_off_do_not_spoil_the_frame_around_a_picture():
    filled = np.zeros((14, 12), dtype=bool)
    filled[2:-2, 1:-2] = True
    made_up = np.zeros_like(filled)
    made_up[0, :3] = made_up[-1, -4:] = True
    inner = slice(2, 12), slice(1, 10)
    assert rectangle_in_frame(filled, made_up) == inner
    assert rectangle_in_frame(filled | made_up, made_up) == inner
    assert rectangle_in_frame(filled | made_up, np.zeros_like(filled)) is None


def test_what_turning_cut_off_lies_in_the_corners():
    copy, place = turned_back(np.zeros((200, 300, 3), dtype=np.float32), 2.0, (300.0, 200.0))
    off = place.off(np.arange(300) + 0.5, np.arange(200) + 0.5)
    assert copy.shape == (200, 300, 3) and not off[20:-20, 20:-20].any()
    # Turned by 2 degrees, 150 pixels from the middle lie 5.2 off; worked out by hand: 150 sin 2 deg.
    assert off[:3, 0].any() and off[-3:, -1].any() and 0.005 < off.mean() < 0.03


@pytest.mark.parametrize("margins", [(0, 2, 0, 1.5), (1.2, 0, 2, 0)])
@pytest.mark.parametrize("degrees", [-1.7, 1.1])
def test_cells_at_the_edge_of_what_was_turned_take_nothing_of_the_page_beyond_them(margins, degrees):
    truth = strewn(13, 11)
    turned = with_margins(truth, 12, margins).rotate(-degrees, Image.Resampling.BICUBIC, expand=True, fillcolor=PAGE)
    assert share_right(read_picture(saved(turned)), truth) >= 0.99


def test_rows_of_the_colour_that_fills_the_corners_are_the_page_the_picture_lay_on():
    truth = strewn(18, 12)
    for margins in ((0, 2, 0, 0), (3, 0, 0, 0)):
        turned = with_margins(truth, 9, margins).rotate(1.9, Image.Resampling.BICUBIC, expand=True, fillcolor=PAGE)
        assert share_right(read_picture(saved(turned)), truth) >= 0.99
