"""Enlarged by less than about two, a picture is told from one drawn at one pixel a cell by where it does not change."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from tests.pictures.truths import truths
from tests.support.picture_files import saved

INKS = np.array([(30, 60, 120), (230, 200, 150), (120, 40, 50), (250, 250, 250), (40, 120, 60)], dtype=np.uint8)
RULES = {
    "down": lambda places: np.floor(places + 1e-9),
    "nearest": lambda places: np.floor(places + 0.5 + 1e-9),
    "up": lambda places: np.ceil(places - 1e-9),
}


def meeting(cells: np.ndarray, height: int, width: int, rule: str) -> np.ndarray:
    """Cells that share the sides out evenly and meet at whole pixels, rounded by ``rule``."""
    shown = [
        np.searchsorted(RULES[rule](np.arange(1, count) * side / count), np.arange(side), side="right")
        for count, side in zip(cells.shape[:2], (height, width), strict=True)
    ]
    return cells[np.ix_(*shown)]


def by_a_factor(cells: np.ndarray, factor: float, middle: float) -> np.ndarray:
    """Each pixel shows the cell at its place over the factor, both sides filled up to whole pixels."""
    shown = [((np.arange(np.ceil(count * factor)) + middle) / factor).astype(int) for count in cells.shape[:2]]
    return cells[np.ix_(*(places.clip(0, count - 1) for places, count in zip(shown, cells.shape[:2], strict=True)))]


def patchwork(seed: int, rows: int = 26, columns: int = 31) -> np.ndarray:
    """Patches of single cells and of four by four, of which no two rows or columns are alike."""
    dice = np.random.default_rng(seed)
    large = dice.integers(0, len(INKS), (rows // 4 + 1, columns // 4 + 1)).repeat(4, axis=0).repeat(4, axis=1)
    single = dice.integers(0, len(INKS), (rows, columns))
    return INKS[np.where(dice.random((rows, columns)) < 0.4, single, large[:rows, :columns])]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("pitch", [1.31, 1.42, 1.5, 1.58, 1.7, 1.83])
def test_patches_that_share_the_sides_out_are_read_cell_for_cell(pitch, rule):
    cells = patchwork(seed=7)
    large = meeting(cells, round(len(cells) * pitch), round(cells.shape[1] * pitch), rule)
    grid = read_picture(saved(Image.fromarray(large))).grid
    assert grid.rgb.shape == cells.shape and (grid.rgb == cells).all()


@pytest.mark.parametrize("seed", [3, 4])
@pytest.mark.parametrize(("rows", "columns", "height", "width"), [(26, 30, 39, 45), (24, 32, 33, 44)])
def test_cells_that_meet_at_a_half_are_read_whichever_way_each_went(rows, columns, height, width, seed):
    """A program that adds up its steps comes to a little more than the half one time and to a little less another."""
    cells, dice = patchwork(seed, rows, columns), np.random.default_rng(seed)
    shown = []
    for count, side in ((rows, height), (columns, width)):
        places = np.arange(1, count) * side / count
        jitter = dice.choice([-1e-9, 1e-9], count - 1)
        shown.append(np.searchsorted(np.ceil(places - 0.5 + jitter), np.arange(side), side="right"))
    grid = read_picture(saved(Image.fromarray(cells[np.ix_(*shown)]))).grid
    assert grid.rgb.shape == cells.shape and (grid.rgb == cells).all()


@pytest.mark.parametrize("middle", [0.0, 0.5])
@pytest.mark.parametrize("factor", [1.38, 1.47, 1.62, 1.77])
def test_patches_enlarged_by_one_factor_are_at_least_offered_cell_for_cell(factor, middle):
    """How many cells lie at the ends is told by a fraction of a pixel, and may be in doubt."""
    cells = patchwork(seed=11)
    reading = read_picture(saved(Image.fromarray(by_a_factor(cells, factor, middle))))
    offered = [one.grid.rgb for one in (reading, *reading.others)]
    assert any(rgb.shape == cells.shape and (rgb == cells).all() for rgb in offered)
    assert reading.grid.rows < len(cells) * 1.1


@pytest.mark.parametrize("family", ["icon", "face", "creature", "quilt", "still-life", "mosaic"])
def test_what_is_drawn_at_one_pixel_a_cell_stays_so(family):
    for part in ("dev", "held"):
        for truth in truths(part):
            if truth.name.startswith(family) and not truth.weak:
                pixels = np.dstack([truth.rgb, np.where(truth.clear, 0, 255)]).astype(np.uint8)
                assert read_picture(saved(Image.fromarray(pixels))).kind == "native", truth.name


@pytest.mark.parametrize("block", [4, 5, 6])
def test_a_quilt_of_mirrored_blocks_doubled_at_its_seams_is_not_taken_for_a_smaller_one(block):
    """Its doubled rows lie as evenly as those of 4/3, 5/4 and 6/5 pixels a cell, but they are the same two."""
    for seed in range(6):
        piece = np.random.default_rng(seed).integers(0, len(INKS), (block, block))
        row = np.concatenate([piece, piece[:, ::-1]] * 3, axis=1)
        quilt = INKS[np.concatenate([row, row[::-1]] * 3, axis=0)]
        assert read_picture(saved(Image.fromarray(quilt))).kind == "native"


def test_strokes_of_two_with_one_odd_gap_stay_as_they_were_drawn():
    """Cells of 24/11 pixels explain such icons, and half of what tells them is that strokes of two are as wide."""
    icon = np.zeros((24, 24), dtype=bool)
    for at in (2, 6, 10, 13, 17, 21):
        icon[at : at + 2, 2:22] = icon[2:22, at : at + 2] = True
    icon[11:13, 11:13] = False
    pixels = np.where(icon[..., None], INKS[0], INKS[3])
    assert read_picture(saved(Image.fromarray(pixels))).grid.rows == 24


def test_an_icon_of_few_strokes_enlarged_by_one_and_a_half_is_offered_as_both_and_is_not_sure():
    icon = next(truth for truth in truths("dev") if truth.name.startswith("icon-") and truth.rows == 24)
    pixels = np.dstack([icon.rgb, np.where(icon.clear, 0, 255)]).astype(np.uint8)
    reading = read_picture(saved(Image.fromarray(meeting(pixels, 36, 36, "nearest"))))
    assert {24, 36} <= {one.grid.rows for one in (reading, *reading.others)}
    assert not reading.sure


def test_faces_of_several_colours_enlarged_twice_on_a_page_of_odd_width_are_read_in_their_own_cells():
    """Strokes of two pixels are drawn in one ink or two; what wears more colours was enlarged."""
    for truth in truths("dev"):
        if truth.name.startswith("face-"):
            face = np.where(truth.clear[..., None], (250, 244, 200), truth.rgb).astype(np.uint8)
            page = np.empty((61, 66, 3), dtype=np.uint8)
            page[:] = (250, 244, 200)
            page[13:45, 21:53] = face.repeat(2, axis=0).repeat(2, axis=1)
            grid = read_picture(saved(Image.fromarray(page))).grid
            drawn = grid.rgb[np.ix_(grid.filled.any(axis=1), grid.filled.any(axis=0))]
            inner = ~truth.clear
            want = face[np.ix_(inner.any(axis=1), inner.any(axis=0))]
            assert drawn.shape == want.shape, truth.name


def test_a_plaid_on_a_page_is_not_read_in_halves_of_its_cells():
    """Cells of nearly four pixels fill the page as well; that is no reason to believe those of two."""
    dice = np.random.default_rng(3)
    warp, weft = dice.integers(0, 4, 28), dice.integers(0, 4, 19)
    cells = INKS[np.where(np.indices((19, 28)).sum(axis=0) % 2, weft[:, None], warp[None, :])]
    page = np.empty((207, 317, 3), dtype=np.uint8)
    page[:] = (9, 9, 9)
    page[88:164, 115:227] = cells.repeat(4, axis=0).repeat(4, axis=1)
    reading = read_picture(saved(Image.fromarray(page)))
    assert round(reading.pitch) == 4
