"""Left and right that are nearly alike: the line, the cells that break it, and the mend."""

from __future__ import annotations

import pytest
from hypothesis import given

from planner.mending import hints_of
from planner.mending.hint import numbers_of
from planner.mending.symmetry import FEWEST_PAIRS, best_axis, ground_of
from tests.planner.mending.grids import grid, grids, mended

BELL = "......... ...bbb... ..bbwbb.. ..bbwbb.. .bbbbbbb. .bsbbbsb. ........."


def alike(pattern):
    return [hint for hint in hints_of(pattern) if hint.kind == "symmetry"]


def by_folding(pattern) -> dict[int, tuple[int, int]]:
    """For every line pairs that are not both ground and how many are alike, counted pair by pair."""
    cells = numbers_of(pattern).tolist()
    ground, width = ground_of(numbers_of(pattern)), pattern.width
    counts = {}
    for total in range(1, 2 * width - 2):
        pairs = agreeing = 0
        for row in cells:
            for left in range(-width, width):
                right = total - left
                if left >= right or (not 0 <= left < width and not 0 <= right < width):
                    continue
                a = row[left] if 0 <= left < width else ground
                b = row[right] if 0 <= right < width else ground
                if a != ground or b != ground:
                    pairs += 1
                    agreeing += a == b
        counts[total] = (pairs, agreeing)
    return counts


@given(grids("bw.", most=7))
def test_the_line_is_the_one_that_folding_finds(pattern):
    counts = {total: (pairs, n) for total, (pairs, n) in by_folding(pattern).items() if pairs >= FEWEST_PAIRS}
    axis = best_axis(numbers_of(pattern))
    if not counts:
        assert axis is None
        return
    assert counts[axis.total] == (axis.pairs, axis.agreeing)
    assert axis.share == max(n / pairs for pairs, n in counts.values())


def test_one_tile_that_breaks_a_bell_is_found_and_laid_as_its_neighbours_are():
    broken = BELL.replace(".bsbbbsb.", ".bsbbbbb.")
    (hint,) = alike(grid(broken))
    assert hint.words == "Left and right are nearly alike about column 5: 1 of 11 pairs of tiles differ."
    assert hint.cells == ((5, 2), (5, 6))
    assert mended(grid(broken), hint) == grid(BELL.replace("s", "b"))


def test_what_is_alike_is_not_pointed_out_and_what_is_not_alike_neither():
    assert alike(grid(BELL)) == []
    assert alike(grid("wwbb.. wwb... wbbb.. bb.... w.....")) == []


@pytest.mark.parametrize("shift", [0, 1, 3])
def test_the_line_goes_with_the_picture_wherever_it_lies_in_the_grid(shift):
    broken = grid(BELL.replace(".bsbbbsb.", ".bsbbbbb.")).padded(0, 3 - shift, 0, shift)
    (hint,) = alike(broken)
    assert f"about column {5 + shift}:" in hint.words


def test_a_line_between_two_columns_is_found_too():
    (hint,) = alike(grid("........ .bbbbbb. .bwwwwb. .bwbbsb. .bbbbbb. ........"))
    assert "the line between columns 4 and 5" in hint.words


@given(grids("bw.", most=8))
def test_laid_as_the_mend_says_both_sides_are_alike(pattern):
    for hint in alike(pattern):
        total = best_axis(numbers_of(pattern)).total
        after = mended(pattern, hint)
        # What the mend laid may itself lie at the rim, so the same ground is asked for before judging.
        if ground_of(numbers_of(after)) == ground_of(numbers_of(pattern)):
            pairs, agreeing = by_folding(after)[total]
            assert pairs == agreeing or after.woods != pattern.woods
