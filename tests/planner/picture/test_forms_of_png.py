"""Every form a PNG may take gives the colours and the clear cells its standard says.

Expected values follow "Portable Network Graphics Specification (Third Edition)", W3C: depths and samples (7.1, 13.12),
transparency (11.3.1), interlacing (8.2).
"""

from __future__ import annotations

import io
import zlib

import numpy as np
import pytest
from PIL import Image, ImageCms

from planner.picture import PictureError, clean_copy, read_picture
from tests.support.picture_files import chunk, interlaced_png, png, png_head, saved, speckled

# Two by two samples a, b over c, d; the clear one is a wherever a file has one.
GREY = {
    1: ([b"\x40", b"\x80"], [[0, 255], [255, 0]], 0),
    2: ([b"\x10", b"\xb0"], [[0, 85], [170, 255]], 0),
    4: ([b"\x5f", b"\x80"], [[85, 255], [136, 0]], 5),
    8: ([b"\x05\xff", b"\x80\x00"], [[5, 255], [128, 0]], 5),
    16: ([b"\x80\x80\xff\xff", b"\x80\x81\x00\x00"], [[128, 255], [128, 0]], 0x8080),
}


@pytest.mark.parametrize("depth", GREY)
def test_greys_of_every_depth_are_spread_over_eight_bits(depth):
    lines, greys, _ = GREY[depth]
    reading = read_picture(png(png_head(2, 2, depth, 0), lines))
    assert reading.grid.rgb[..., 0].tolist() == greys == reading.grid.rgb[..., 2].tolist()


@pytest.mark.parametrize("depth", GREY)
def test_the_one_clear_grey_is_background_and_no_neighbouring_grey_is(depth):
    lines, greys, clear = GREY[depth]
    reading = read_picture(png(png_head(2, 2, depth, 0), lines, chunk(b"tRNS", clear.to_bytes(2, "big"))))
    expected = [[False, True], [True, True]] if depth > 1 else [[False, True], [True, False]]
    assert reading.grid.filled.tolist() == expected
    assert reading.grid.rgb[0, 1, 0] == greys[0][1]


def test_the_one_clear_colour_is_background():
    lines = [b"\1\2\3\4\5\6", b"\7\7\7\1\2\3"]
    reading = read_picture(png(png_head(2, 2), lines, chunk(b"tRNS", b"\0\1\0\2\0\3")))
    assert reading.grid.filled.tolist() == [[False, True], [True, False]]


def test_sixteen_bits_a_colour_keep_their_upper_eight():
    lines = [b"\x01\xff\x02\x00\x03\x03\xff\xff" + b"\x04\x04\x05\x05\x06\x06\x00\x00"]
    reading = read_picture(png(png_head(2, 1, 16, 6), lines))
    assert reading.grid.rgb[0, 0].tolist() == [1, 2, 3]
    assert reading.grid.filled.tolist() == [[True, False]]


def test_grey_with_alpha_is_clear_below_half():
    reading = read_picture(png(png_head(2, 2, 8, 4), [b"\x10\xff\x20\x7f", b"\x30\x80\x40\x00"]))
    assert reading.grid.filled.tolist() == [[True, False], [True, False]]


@pytest.mark.parametrize("depth", [2, 4, 8])
def test_a_palette_may_make_any_of_its_colours_clear(depth):
    line = {2: [b"\x10", b"\x80"], 4: [b"\x01", b"\x20"], 8: [b"\0\1", b"\2\0"]}[depth]
    extra = chunk(b"PLTE", bytes(range(9))) + chunk(b"tRNS", b"\0\xff\x90")
    reading = read_picture(png(png_head(2, 2, depth, 3), line, extra))
    assert reading.grid.filled.tolist() == [[False, True], [True, False]]
    assert reading.grid.rgb[0, 1].tolist() == [3, 4, 5]


@pytest.mark.parametrize("size", [(1, 2), (5, 7), (8, 8), (24, 31)])
def test_an_interlaced_picture_is_read_like_any_other(size):
    rgb = speckled(*size)
    assert (read_picture(interlaced_png(rgb)).grid.rgb == rgb).all()


def test_the_first_frame_of_an_animated_png_is_read_and_said():
    frames = [Image.fromarray(speckled(seed=seed)) for seed in (1, 2, 3)]
    reading = read_picture(saved(frames[0], save_all=True, append_images=frames[1:], duration=100))
    assert (reading.grid.rgb == np.asarray(frames[0])).all()
    assert any("first frame" in words for words in reading.seen)


def test_a_colour_profile_other_than_srgb_is_set_aside_and_that_is_said():
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    image = Image.fromarray(speckled())
    assert not any("profile" in words for words in read_picture(saved(image, icc_profile=srgb)).seen)
    for other in (srgb.replace(b"s\0R\0G\0B", b"w\0i\0d\0e"), b"no profile at all"):
        reading = read_picture(saved(image, icc_profile=other))
        assert any("profile" in words for words in reading.seen)
        assert (reading.grid.rgb == np.asarray(image)).all()
        assert b"iCCP" not in clean_copy(saved(image, icc_profile=other))


def test_one_changed_bit_among_the_pixels_is_always_noticed():
    data = saved(Image.fromarray(speckled(16, 16)))
    start, end = data.index(b"IDAT") + 4, data.index(b"IEND") - 8
    for place in range(start, end, 3):
        damaged = bytearray(data)
        damaged[place] ^= 0x10
        with pytest.raises(PictureError):
            read_picture(bytes(damaged))


def test_text_and_profiles_that_unpack_to_a_hundredfold_are_refused_or_left_aside():
    packed = zlib.compress(b"\0" * 80_000_000, 9)
    rgb = speckled()
    lines = [line.tobytes() for line in rgb]
    for bomb in (
        chunk(b"zTXt", b"note\0\0" + packed),
        chunk(b"iTXt", b"note\0\1\0\0\0" + packed),
        chunk(b"iCCP", b"wide\0\0" + packed),
    ):
        try:
            assert (read_picture(png(png_head(8, 8), lines, bomb)).grid.rgb == rgb).all()
        except PictureError:
            continue


def test_what_lies_hidden_under_clear_pixels_does_not_reach_the_clean_copy():
    hidden = np.dstack([speckled(), np.zeros((8, 8), dtype=np.uint8)])
    hidden[0, 0, 3] = 255
    copy = np.asarray(Image.open(io.BytesIO(clean_copy(saved(Image.fromarray(hidden))))))
    assert (copy[0, 0] == hidden[0, 0]).all()
    assert not copy.reshape(-1, 4)[1:].any()
