"""Counts, runs and turns of a pattern against a few plain lines, and forms that come back as they went."""

from __future__ import annotations

from collections import Counter
from itertools import groupby

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.pattern import LARGEST_SIDE, Pattern, PatternError

WOODS = ["beech", "sapele", "walnut-black", None]


@st.composite
def grids(draw, side: int = 9):
    height, width = draw(st.integers(1, side)), draw(st.integers(1, side))
    row = st.lists(st.sampled_from(WOODS), min_size=width, max_size=width)
    return draw(st.lists(row, min_size=height, max_size=height))


@given(grids())
def test_tiles_are_counted_as_one_would_on_paper(cells):
    counted = Counter(cell for row in cells for cell in row)
    pattern = Pattern.of(cells)
    assert pattern.background == counted.pop(None, 0)
    assert pattern.counts() == counted


@given(grids())
def test_runs_are_neighbours_of_one_wood_in_rows_and_in_columns(cells):
    pattern = Pattern.of(cells)
    for lines, runs in ((cells, pattern.runs_in_row), (list(zip(*cells, strict=True)), pattern.runs_in_column)):
        for i, line in enumerate(lines):
            assert [(r.length, r.wood) for r in runs(i)] == [(len(list(g)), wood) for wood, g in groupby(line)]
            starts = [r.start for r in runs(i)]
            assert starts == [sum(r.length for r in runs(i)[:k]) for k in range(len(starts))]


@given(grids())
def test_text_and_picture_forms_come_back_as_they_went(cells):
    pattern = Pattern.of(cells)
    assert Pattern.from_text(pattern.to_text()) == pattern
    assert Pattern.from_png(pattern.to_png()) == pattern


@given(grids())
def test_turning_four_times_and_mirroring_twice_change_nothing(cells):
    pattern = Pattern.of(cells)
    assert pattern.turned(4) == pattern == pattern.mirrored().mirrored() == pattern.turned(1).turned(3)
    assert pattern.mirrored() == Pattern.of([row[::-1] for row in cells])
    # Clockwise: what was the left column, read upwards, is the top row.
    assert pattern.turned() == Pattern.of([list(row) for row in zip(*cells[::-1], strict=True)])


@given(grids(), st.integers(-4, 4), st.integers(-4, 4))
def test_what_is_shifted_out_is_lost_and_what_opens_is_background(cells, down, right):
    height, width = len(cells), len(cells[0])
    moved = [
        [
            cells[r - down][c - right] if 0 <= r - down < height and 0 <= c - right < width else None
            for c in range(width)
        ]
        for r in range(height)
    ]
    if abs(down) < height and abs(right) < width:
        assert Pattern.of(cells).shifted(down, right) == Pattern.of(moved)


@given(grids())
def test_padding_is_taken_off_again_by_a_crop(cells):
    pattern = Pattern.of(cells)
    padded = pattern.padded(1, 2, 3, 4)
    assert (padded.height, padded.width) == (pattern.height + 4, pattern.width + 6)
    assert padded.background == padded.height * padded.width - sum(pattern.counts().values())
    assert padded.cropped(1, 4, pattern.height, pattern.width) == pattern


def test_replacing_one_wood_by_another_merges_their_runs():
    pattern = Pattern.of([["beech", "sapele", "beech"]])
    assert pattern.replaced("sapele", "beech").runs_in_row(0)[0].length == 3
    assert pattern.replaced("beech", None).background == 2


def test_patterns_are_equal_when_their_cells_are_however_they_came_about():
    one = Pattern.of([["beech", "sapele"]])
    other = Pattern.of([["sapele", "beech"]]).mirrored()
    assert one == other and hash(one) == hash(other)


def test_a_side_of_two_hundred_is_the_largest():
    assert Pattern.of([["beech"] * LARGEST_SIDE]).width == 200
    with pytest.raises(PatternError, match="201 cells wide"):
        Pattern.of([["beech"] * 201])
    with pytest.raises(PatternError):
        Pattern.from_text("1 beech\n" * 201)


@pytest.mark.parametrize("text", ["", "beech", "0 beech", "x beech", "3 Beech!", "1 beech, , 1 -", "1 beech\n2 beech"])
def test_a_text_that_is_no_pattern_is_refused(text):
    with pytest.raises(PatternError):
        Pattern.from_text(text)


@pytest.mark.parametrize("data", [b"", b"GIF89a", b"\x89PNG\r\n\x1a\n" + b"\0" * 40])
def test_a_file_that_is_no_pattern_is_refused(data):
    with pytest.raises(PatternError):
        Pattern.from_png(data)
