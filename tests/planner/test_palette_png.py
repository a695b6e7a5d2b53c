"""A pattern's own PNG is read byte by byte as a reference decoder (Pillow) reads it, and written so that it can be."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from planner.palettepng import PalettePngError, read_palette_png, write_palette_png
from planner.pattern import PNG_KEY, Pattern
from tests.planner.mending.grids import grids
from tests.support.picture_files import chunk, png, png_head, saved

COLOURS = {"beech": (201, 162, 122), "walnut": (74, 52, 40), "sapele": (120, 60, 40)}


@st.composite
def numbered(draw, most: int = 255):
    height, width = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    colours = draw(st.integers(1, most))
    cells = draw(st.binary(min_size=height * width, max_size=height * width))
    return (np.frombuffer(cells, dtype=np.uint8) % colours).reshape(height, width), colours


@given(numbered())
def test_what_a_reference_encoder_writes_at_any_depth_is_read_as_it_was(drawn):
    cells, colours = drawn
    image = Image.fromarray(cells, "P")
    # So many colours make the encoder choose 1, 2, 4 or 8 bits a cell.
    image.putpalette(bytes(range(colours)) * 3)
    assert (read_palette_png(saved(image), 200).cells == cells).all()


@given(numbered())
def test_what_is_written_is_decoded_by_the_reference_cell_for_cell(drawn):
    cells, colours = drawn
    palette = [(i, 255 - i, 7) for i in range(colours)]
    image = Image.open(io.BytesIO(write_palette_png(cells, palette, {})))
    assert image.mode == "P" and (np.asarray(image) == cells).all()
    shown = np.asarray(image.convert("RGBA"))
    assert (shown[..., :3] == np.array(palette, dtype=np.uint8)[cells]).all()
    assert ((shown[..., 3] == 0) == (cells == 0)).all()


@given(numbered(), st.lists(st.integers(0, 4), min_size=12, max_size=12))
def test_every_filter_of_a_line_is_undone_as_the_reference_undoes_it(drawn, filters):
    cells, _ = drawn
    height, width = cells.shape
    # Any bytes behind any filter are a picture; the reference says which.
    lines = b"".join(bytes([filters[r]]) + cells[r].tobytes() for r in range(height))
    palette = chunk(b"PLTE", bytes(256 * 3))
    data = png_head(width, height, 8, 3) + palette + chunk(b"IDAT", zlib.compress(lines)) + chunk(b"IEND", b"")
    assert (read_palette_png(data, 200).cells == np.asarray(Image.open(io.BytesIO(data)))).all()


@given(grids())
def test_a_pattern_wears_its_woods_finished_colours_and_comes_back(pattern):
    data = pattern.to_png(COLOURS)
    assert Pattern.from_png(data) == pattern
    shown = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA"))
    for r in range(pattern.height):
        for c in range(pattern.width):
            wood = pattern.cell(r, c)
            assert shown[r, c, 3] == (255 if wood else 0)
            assert wood is None or tuple(shown[r, c, :3]) == COLOURS[wood]


def test_a_file_of_before_written_by_another_encoder_is_still_read():
    image = Image.fromarray(np.array([[0, 1], [2, 1]], dtype=np.uint8), "P")
    image.putpalette([(60 + 37 * i) % 256 for i in range(768)])
    note = PngImagePlugin.PngInfo()
    note.add_itxt(PNG_KEY, '["beech", "sapele"]')
    data = saved(image, pnginfo=note, transparency=0)
    assert Pattern.from_png(data) == Pattern.of([[None, "beech"], ["sapele", "beech"]])
    for said in (note_of(zipped=True), note_of(zipped=False)):
        assert Pattern.from_png(saved(image, pnginfo=said)).woods == ("beech", "sapele")


def note_of(*, zipped: bool) -> PngImagePlugin.PngInfo:
    note = PngImagePlugin.PngInfo()
    if zipped:
        note.add_itxt(PNG_KEY, '["beech", "sapele"]', zip=True)
    else:
        note.add_text(PNG_KEY, '["beech", "sapele"]')
    return note


@pytest.mark.parametrize(
    "data",
    [
        png(png_head(2, 2, 8, 2), [b"\1\2\3" * 2] * 2),
        png(png_head(2, 2, 8, 3, interlaced=1), [b"\1\2"] * 2),
        png(png_head(2, 2, 16, 3), [b"\1\2\3\4"] * 2),
        png(png_head(2, 2, 8, 3), [b"\1\2"] * 3),
        png(png_head(2, 2, 8, 3), [b"\1\2"]),
        lambda: png_head(2, 2, 8, 3) + chunk(b"IDAT", zlib.compress(b"\0" * 90_000_000)) + chunk(b"IEND", b""),
        png_head(2, 1, 8, 3) + chunk(b"IDAT", zlib.compress(b"\5\1\2")) + chunk(b"IEND", b""),
        lambda: png_head(2, 2, 8, 3) + chunk(b"iTXt", b"k\0\1\0\0\0" + zlib.compress(b" " * 90_000_000)),
        png_head(201, 1, 8, 3),
        png_head(0, 0, 8, 3),
        png(png_head(2, 2, 8, 3), [b"\1\2"] * 2)[:-1],
        png(png_head(2, 2, 8, 3), [b"\1\2"] * 2).replace(b"IDAT", b"IDAS"),
        png_head(2, 2, 8, 3)[:-16] + struct.pack(">I", 2**31),
    ],
    ids=range(13),
)
def test_another_kind_of_file_more_than_its_head_says_and_a_damaged_one_are_refused(data):
    # Those of ninety megabytes are packed as the test runs.
    file = data() if callable(data) else data
    with pytest.raises(PalettePngError):
        read_palette_png(file, 200)
