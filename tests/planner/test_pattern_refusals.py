"""What makes no pattern is refused in words that say where, and nothing passes as any other failure."""

from __future__ import annotations

import io
import json
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from planner.pattern import MOST_WOODS, PNG_KEY, Pattern, PatternError
from tests.support.each import each
from tests.support.picture_files import chunk, png_head, saved, speckled

SMALL = Pattern.of([["beech", None], ["sapele", "beech"], [None, None]])


def palette_png(numbers: list[list[int]], words: str, key: str = PNG_KEY) -> bytes:
    image = Image.fromarray(np.array(numbers, dtype=np.uint8), "P")
    image.putpalette(bytes(range(256)) * 3)
    note = PngImagePlugin.PngInfo()
    note.add_itxt(key, words)
    return saved(image, pnginfo=note)


def test_nothing_and_ragged_rows_are_refused_saying_which_row():
    for empty in ([], [[]], [[], []]):
        with pytest.raises(PatternError, match="nothing in the pattern"):
            Pattern.of(empty)
    with pytest.raises(PatternError, match="Row 3 has 1 cells where row 1 has 2"):
        Pattern.of([["beech", None], [None, None], ["beech"]])


def test_as_many_woods_as_a_byte_can_number_and_not_one_more():
    names = [f"wood-{i}" for i in range(MOST_WOODS + 1)]
    full = Pattern.of([[name] for name in names[:200]])
    assert len(full.woods) == 200
    rows = [names[:128], names[128:]]
    with pytest.raises(PatternError, match="256 woods"):
        Pattern.of(rows)
    rows[1][-1] = names[0]
    pattern = Pattern.of(rows)
    assert len(pattern.woods) == MOST_WOODS
    assert Pattern.from_png(pattern.to_png()) == pattern == Pattern.from_text(pattern.to_text())


@each("name", ["", "-", "Beech", "beech, old", "beech\n", " beech", "hêtre", "x" * 60 + "!"])
def test_a_name_that_the_text_form_could_not_carry_is_refused(name):
    with pytest.raises(PatternError, match="cannot stand for a wood"):
        Pattern.of([["beech", name]])
    with pytest.raises(PatternError):
        Pattern.from_png(palette_png([[1, 2]], json.dumps(["beech", name])))


@given(st.integers(-500, 500), st.integers(-500, 500))
def test_moved_past_its_own_size_only_background_is_left(down, right):
    moved = SMALL.shifted(down, right)
    assert (moved.height, moved.width) == (3, 2)
    if abs(down) >= 3 or abs(right) >= 2:
        assert moved.background == 6 and moved.woods == ()


def test_a_crop_outside_and_a_padding_past_the_limit_are_refused():
    for box in ((-1, 0, 1, 1), (0, 0, 4, 1), (0, 1, 1, 2), (0, 0, 0, 1), (2, 0, -1, 1)):
        with pytest.raises(PatternError):
            SMALL.cropped(*box)
    with pytest.raises(PatternError, match="Crop the pattern"):
        SMALL.padded(0, -1, 0, 0)
    with pytest.raises(PatternError, match="1000000003 high"):
        SMALL.padded(10**9, 0, 0, 0)
    assert SMALL.padded(197, 0, 0, 198).width == 200


@each(
    ("text", "words"),
    [
        ("2 beech\n1 beech, 1 Ash", "Line 2 cannot be read at “1 Ash”"),
        ("2 beech\n1 beech", "Row 2 has 1 cells"),
        ("150 beech, 51 -", "Line 1 holds more than 200 cells"),
        ("1 beech\n" * 201, "201 rows"),
        ("-3 beech", "Line 1 cannot be read"),
        ("1.5 beech", "Line 1 cannot be read"),
        ("1 beech\n\n1 beech", "Line 2 cannot be read"),
    ],
)
def test_a_text_is_refused_with_the_line_at_fault(text, words):
    with pytest.raises(PatternError) as refusal:
        Pattern.from_text(text)
    assert words in refusal.value.what and refusal.value.mend


def test_a_text_typed_by_hand_may_be_spaced_as_one_likes():
    assert Pattern.from_text("  2 beech ,1   -\r\n1 -,  2 sapele  \n") == Pattern.of(
        [["beech", "beech", None], [None, "sapele", "sapele"]]
    )


@each(
    "data",
    lambda: [
        palette_png([[1, 2]], '["beech"]'),
        palette_png([[1, 2]], '["beech", "beech"]'),
        palette_png([[1]], '{"beech": 1}'),
        palette_png([[1]], "[1]"),
        palette_png([[1]], "beech"),
        palette_png([[1]], "[" * 200_000),
        palette_png([[1]], '["beech"]', key="Title"),
        palette_png([[1] * 201], '["beech"]'),
        saved(Image.fromarray(speckled())),
        saved(Image.fromarray(speckled()), "GIF"),
        SMALL.to_png()[:-30],
        png_head(40_000, 40_000, 8, 3) + chunk(b"IDAT", b"") + chunk(b"IEND", b""),
        png_head(9, 9, 8, 3) + chunk(b"iTXt", b"note\0\1\0\0\0" + zlib.compress(b"\0" * 80_000_000)),
        png_head(9, 9, 8, 3) + struct.pack(">I", 2**31 - 1) + b"IDAT",
    ],
    ids=range(14),
)
def test_a_picture_file_that_is_no_pattern_is_refused(data):
    with pytest.raises(PatternError):
        Pattern.from_png(data)


@given(st.binary(max_size=40), st.integers(0, 400))
def test_a_damaged_pattern_file_is_refused_or_read_but_nothing_else(damage, place):
    data = bytearray(SMALL.to_png())
    data[place : place + len(damage)] = damage
    try:
        Pattern.from_png(bytes(data))
    except PatternError:
        return


def test_a_pattern_file_opens_anywhere_as_a_picture_with_a_clear_background():
    image = Image.open(io.BytesIO(SMALL.to_png()))
    assert (image.size, image.mode) == ((2, 3), "P")
    rgba = np.asarray(image.convert("RGBA"))
    assert ((rgba[..., 3] == 0) == np.array([[0, 1], [0, 0], [1, 1]], dtype=bool)).all()
    assert len({tuple(c) for c in rgba[rgba[..., 3] > 0].tolist()}) == 2


def test_a_pattern_of_the_largest_size_is_counted_turned_and_kept_at_once():
    rng = np.random.default_rng(3)
    names = [None, "beech", "sapele", "walnut-black"]
    pattern = Pattern.of([[names[k] for k in row] for row in rng.integers(0, 4, (200, 200))])
    assert sum(pattern.counts().values()) + pattern.background == 40_000
    assert pattern.turned().mirrored().turned().mirrored() == pattern
    assert Pattern.from_text(pattern.to_text()) == pattern == Pattern.from_png(pattern.to_png())
