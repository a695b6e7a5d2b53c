"""Pixel art from outside, native or enlarged by a whole number, is read cell for cell."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from planner.picture import read_picture
from tests.support.each import each

ICONS = {
    block.split("\n")[0]: np.array([[c == "#" for c in row] for row in block.strip().split("\n")[1:]])
    for block in (Path(__file__).parents[2] / "pictures" / "icons.txt").read_text().strip().split("\n\n")
}
INK, PAPER = (40, 90, 160), (240, 236, 220)


def png(pixels: np.ndarray, mode: str = "RGB", **options) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(pixels.astype(np.uint8), mode).save(buffer, options.pop("format", "PNG"), **options)
    return buffer.getvalue()


def enlarged(cells: np.ndarray, scale: int) -> np.ndarray:
    return cells.repeat(scale, axis=0).repeat(scale, axis=1)


def on_paper(icon: np.ndarray) -> np.ndarray:
    return np.where(icon[..., None], INK, PAPER)


@each("scale", [1, 2, 3, 7, 16, 40])
@each("name", ICONS)
def test_an_icon_on_flat_paper_is_read_exactly(name, scale):
    reading = read_picture(png(enlarged(on_paper(ICONS[name]), scale)))
    assert (reading.scale, reading.kind) == (scale, "native" if scale == 1 else "scaled")
    assert (reading.grid.rgb == on_paper(ICONS[name])).all()
    # What the edge cannot reach stays wood, so every inked cell is filled and no reached paper is.
    assert reading.grid.filled[ICONS[name]].all()
    assert not reading.grid.filled[0, 0]


@each("scale", [1, 5])
@each("name", ICONS)
def test_an_icon_on_nothing_is_filled_just_where_it_is_inked(name, scale):
    icon = ICONS[name]
    rgba = np.dstack([on_paper(icon), np.where(icon, 255, 0)])
    reading = read_picture(png(enlarged(rgba, scale), "RGBA"))
    assert (reading.grid.filled == icon).all()
    assert reading.grid.colours() == [(INK, int(icon.sum()))]


@each("kind", ["GIF", "WEBP"])
def test_lossless_formats_other_than_png_are_read_alike(kind):
    options = {"lossless": True} if kind == "WEBP" else {}
    reading = read_picture(png(enlarged(on_paper(ICONS["heart"]), 4), format=kind, **options))
    assert (reading.grid.rgb == on_paper(ICONS["heart"])).all() and reading.scale == 4


def test_paper_enclosed_by_the_drawing_stays_wood():
    ring = np.array([[0, 0, 0, 0, 0], [0, 1, 1, 1, 0], [0, 1, 0, 1, 0], [0, 1, 1, 1, 0], [0, 0, 0, 0, 0]], bool)
    filled = read_picture(png(on_paper(ring))).grid.filled
    assert filled[2, 2] and filled[1:4, 1:4].all() and filled.sum() == 9


def test_a_picture_without_a_common_edge_colour_keeps_every_cell():
    rng = np.random.default_rng(3)
    assert read_picture(png(rng.integers(0, 256, (9, 9, 3)))).grid.filled.all()


def test_random_grids_of_random_colours_come_back_cell_for_cell():
    rng = np.random.default_rng(11)
    for _ in range(60):
        rows, columns, scale = rng.integers(2, 40), rng.integers(2, 40), int(rng.integers(1, 9))
        cells = rng.integers(0, 256, (rows, columns, 3))
        reading = read_picture(png(enlarged(cells, scale)))
        assert reading.scale == scale and (reading.grid.rgb == cells).all()


def test_a_photo_turned_by_its_camera_is_read_upright():
    picture = Image.fromarray(on_paper(ICONS["key"]).astype(np.uint8))
    exif = Image.Exif()
    exif[0x0112] = 6
    buffer = io.BytesIO()
    picture.save(buffer, "PNG", exif=exif)
    reading = read_picture(buffer.getvalue())
    assert (reading.grid.rgb == np.rot90(on_paper(ICONS["key"]), -1)).all()
    assert any("upright" in words for words in reading.seen)


def test_the_first_frame_of_an_animation_is_read_and_said():
    frames = [Image.fromarray(on_paper(ICONS[name]).astype(np.uint8)) for name in ("heart", "key")]
    buffer = io.BytesIO()
    frames[0].save(buffer, "GIF", save_all=True, append_images=frames[1:])
    reading = read_picture(buffer.getvalue())
    assert (reading.grid.rgb == on_paper(ICONS["heart"])).all()
    assert any("first" in words for words in reading.seen)


def test_bands_with_lone_cells_strewn_over_them_are_read_at_one_pixel_a_cell():
    """Bands by themselves may as well be those of large cells; a lone pixel on one other colour may not."""
    rng = np.random.default_rng(6)
    sky = [(44, 78, 128), (44, 78, 128), (166, 126, 80), (182, 154, 98), (134, 126, 196), (154, 160, 220)]
    land = [(32, 42, 18), (74, 104, 46), (134, 166, 90), (196, 230, 148)]
    cells = np.repeat(np.array([*sky, *land], dtype=np.uint8), 5, axis=0)[:, None].repeat(36, axis=1).copy()
    for row in (33, 37, 38, 42, 43):
        cells[row, 2 + 3 * rng.permutation(11)[:4]] = (210, 240, 170)
    reading = read_picture(png(cells))
    assert reading.sure and np.array_equal(reading.grid.rgb, cells)
