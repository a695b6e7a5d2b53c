"""A preview as a file: the same bytes each time, any size in bounds, and what cannot be drawn is said."""

from __future__ import annotations

import io
import struct
import tracemalloc

import numpy as np
import pytest
from PIL import Image

from planner.drawing.preview import WoodTone, preview, preview_pixels
from planner.drawing.preview.png import PngWriter
from planner.errors import PlannerError
from planner.measures import Length
from tests.support.previews import BOAT, drawn, luminance_of, record_of, strewn, tones

RECORD = record_of(drawn(BOAT))
WOODS = tones()


def decoded(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(png)))


@pytest.mark.parametrize("more", [{}, {"finish": "dry"}, {"metres": 3.0}])
def test_the_same_seed_gives_the_same_bytes_and_another_seed_another_board(more):
    first = preview(RECORD, WOODS, width=400, seed=4, **more)
    assert first.png == preview(RECORD, WOODS, width=400, seed=4, **more).png
    other = decoded(preview(RECORD, WOODS, width=400, seed=5, **more).png).astype(int)
    assert np.abs(other - decoded(first.png)).max() > 20


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_a_general_decoder_reads_back_every_pixel(along):
    record = record_of(drawn(BOAT), along)
    found = preview(record, WOODS, width=500)
    image = Image.open(io.BytesIO(found.png))
    assert (image.width, image.height, image.mode) == (found.width, found.height, "RGB") == (500, found.height, "RGB")
    assert image.info["srgb"] == 1
    assert np.array_equal(np.asarray(image), preview_pixels(record, WOODS, width=500))


@pytest.mark.parametrize("upright", [False, True])
def test_rows_may_be_written_any_number_at_a_time(upright):
    pixels = np.random.default_rng(1).integers(0, 256, (23, 17, 3), dtype=np.uint8)
    writer = PngWriter(17, 23, upright=upright)
    for first, last in ((0, 1), (1, 9), (9, 23)):
        writer.write(pixels[first:last])
    data = writer.finish()
    assert np.array_equal(decoded(data), pixels)
    assert struct.unpack(">II", data[16:24]) == (17, 23)


@pytest.mark.parametrize("width", [200, 201, 999])
def test_a_picture_is_as_wide_as_asked(width):
    found = preview(RECORD, WOODS, width=width)
    assert found.width == width
    height, board = found.height, (13 + 2) * 20 + 80
    assert height / width == pytest.approx(((11 + 2) * 20 + 60) / board, abs=0.03)


def test_a_very_tall_board_is_narrower_so_that_its_picture_stays_in_bounds():
    tall = record_of(strewn(8).cropped(1, 1, 6, 1).padded(70, 0, 70, 0), end_border=Length.of_mm(20))
    found = preview(tall, WOODS, width=600)
    assert found.height == 900 and found.width < 600


def test_tiles_smaller_than_a_pixel_are_drawn_all_the_same():
    record = record_of(strewn(120), method="tiles")
    pixels = preview_pixels(record, WOODS, width=200)
    assert pixels.shape[1] == 200
    # Far from any border the board is all woods mixed, never bare.
    assert luminance_of(pixels[60:140, 60:140]).min() > 0.005


def test_large_pictures_are_made_in_bands():
    """Three bytes a pixel for the front, the file, and little else: no whole picture in floating point."""
    # What is kept of each wood at that size is made beforehand: it does not grow with the picture.
    preview(RECORD, WOODS, width=2400)
    tracemalloc.start()
    found = preview(RECORD, WOODS, width=2400)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    pixels = found.width * found.height
    assert most < pixels * 8 + 20_000_000


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"width": 199}, "width"),
        ({"width": 6001}, "width"),
        ({"width": 400, "metres": 0.2}, "metres"),
        ({"width": 400, "metres": float("nan")}, "metres"),
        ({"width": 400, "metres": 50}, "metres"),
        ({"width": 400, "finish": "painted"}, "finish"),
    ],
)
def test_what_cannot_be_drawn_is_said(asked, field):
    with pytest.raises(PlannerError) as refused:
        preview(RECORD, WOODS, **asked)
    assert refused.value.field == field and refused.value.mend


def test_a_wood_without_a_colour_is_named():
    with pytest.raises(PlannerError, match="padauk"):
        preview(RECORD, {name: tone for name, tone in WOODS.items() if name != "padauk"}, width=300)


def test_woods_whose_dry_colour_is_worked_out_are_told():
    sampled = {**WOODS, "sapele": WoodTone((124, 62, 42), (160, 100, 80), "ring", "Sapele")}
    assert preview(RECORD, sampled, width=300).estimated == ()
    told = preview(RECORD, sampled, width=300, finish="dry").estimated
    assert set(told) == {"sycamore", "walnut-black", "birch-yellow", "beech", "padauk"}


def test_the_makers_own_dry_sample_is_what_is_shown_dry():
    record = record_of(drawn("ssss\nssss"), border_wood="sapele")
    woods = {"sapele": WoodTone((124, 62, 42), (60, 160, 90), "ring", "Sapele")}
    pixels = preview_pixels(record, woods, width=400, finish="dry")
    middle = pixels[80:-80, 80:-80].reshape(-1, 3).mean(axis=0)
    assert np.abs(middle - (60, 160, 90)).max() < 12
