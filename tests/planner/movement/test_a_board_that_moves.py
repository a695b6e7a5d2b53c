"""What a change of moisture does across the grain: published examples for one piece, sums by hand for a board."""

import random
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from planner.build import BoardSpec, build
from planner.measures import Length
from planner.movement import MovementError, board_movement, change_of, size_change
from planner.pattern import Pattern
from planner.shop import Shop
from planner.woods import wood

mm, inches = Length.of_mm, Length.of_inches


@pytest.mark.parametrize(
    ("size", "coefficient", "first", "then", "printed", "within"),
    [
        # Wood Handbook chapter 13: flat-grained white fir, 232 mm, 8 to 11 %.
        (mm(232), "0.00245", 8, 11, mm("1.705"), "0.001"),
        (mm(232), "0.00245", 11, 8, mm("-1.705"), "0.001"),
        # flooringartists.com/dimensional-change: mesquite, 5 in, 6 to 9 %.
        (inches(5), "0.00129", 6, 9, inches("0.019"), "0.0127"),
        # Coefficient of Table 13-5, commercial red oak, 24 in, 6 to 10 %; multiplied by hand.
        (inches(24), "0.00369", 6, 10, inches("0.354"), "0.0127"),
    ],
)
def test_the_published_example_comes_out_to_its_digits(size, coefficient, first, then, printed, within):
    by = size_change(size, Fraction(coefficient), Fraction(first), Fraction(then))
    assert abs(by.mm - printed.mm) <= Fraction(within)


def test_hard_maple_of_400_mm_moves_4_24_flat_sawn_and_1_98_quartered_in_three_points():
    # Coefficients of Table 13-5 (0.00353 and 0.00165), multiplied by hand.
    maple = wood("maple-hard")
    assert change_of(mm(400), maple, Fraction(7), Fraction(10)).by == mm("4.236")
    assert change_of(mm(400), maple, Fraction(7), Fraction(10), quartered=True).by == mm("1.98")


def test_outside_the_table_total_shrinkage_is_spread_evenly():
    # Equation 13-3 from memory; from 10 % it is the coefficient's own formula, C = S / (3000 - 20 S).
    maple = wood("maple-hard")
    moved = change_of(mm(1000), maple, Fraction(10), Fraction(20))
    assert "13-3" in moved.rule
    assert float(moved.by.mm) == pytest.approx(1000 * 10 * 9.9 / (3000 - 20 * 9.9))


def test_from_green_to_dry_it_shrinks_by_the_published_total():
    birch = wood("birch-yellow")
    shrunk = change_of(mm(100), birch, Fraction(45), Fraction(0))
    assert -shrunk.by.mm == birch.shrink_tangential


def test_moisture_below_nought_is_refused():
    with pytest.raises(MovementError):
        change_of(mm(100), wood("beech"), Fraction(-1), Fraction(8))


SPEC = BoardSpec("wall", mm(25), mm(20), mm(0), mm(0), "tiles", 1, "beech")


def striped(rows=16):
    """A column of beech beside one of padauk."""
    return build(Pattern.of([["beech", "padauk"]] * rows), SPEC, "tiles", Shop())


def test_a_column_of_beech_and_one_of_padauk_part_by_the_difference_of_their_sums():
    # 16 tiles of 25 mm, four points: 0.00431 and the padauk's own coefficient, multiplied out by hand.
    moved = board_movement(striped(), Fraction(6), Fraction(10))
    assert moved.columns[0].by == mm(16 * 25) * (wood("beech").c_tangential * 4)
    assert moved.columns[1].by == mm(16 * 25) * (wood("padauk").c_tangential * 4)
    assert float(moved.columns[0].by.mm) == pytest.approx(6.9, abs=0.05)
    assert moved.neighbours == moved.any_two
    assert float(moved.neighbours.by.mm) == pytest.approx(4.0, abs=0.05)


def test_a_wood_bought_quartered_moves_by_its_radial_number():
    moved = board_movement(striped(), Fraction(6), Fraction(10), quartered={"beech"})
    assert moved.columns[0].by == mm(400) * (wood("beech").c_radial * 4)


def random_board(rng):
    woods = ("beech", "padauk", "walnut-black", "maple-hard")
    height, width = rng.randint(1, 7), rng.randint(1, 7)
    cells = [[rng.choice((*woods, None)) for _ in range(width)] for _ in range(height)]
    cells[0][0] = "beech"
    border = mm(30) if all(row[0] is None and row[-1] is None for row in cells) else mm(0)
    spec = replace(SPEC, side_border=border, end_border=mm(rng.choice((0, 25))), border_wood=rng.choice(woods))
    return build(Pattern.of(cells), spec, "runs", Shop()), cells


@pytest.mark.parametrize("seed", range(30))
def test_columns_neighbours_and_any_two_are_those_a_cell_by_cell_sum_finds(seed):
    rng = random.Random(seed)
    board, cells = random_board(rng)
    first, then = Fraction(rng.randint(6, 14)), Fraction(rng.randint(6, 14))
    moved = board_movement(board, first, then)
    sums = []
    for column in range(len(cells[0])):
        total = Fraction(0)
        for row in cells:
            total += 25 * wood(row[column] or board.spec.border_wood).c_tangential * (then - first)
        total += 2 * board.spec.end_border.mm * wood(board.spec.border_wood).c_tangential * (then - first)
        sums.append(total)
    inner = [column.by.mm for column in moved.columns if 1 <= column.column <= len(sums)]
    assert inner == sums
    every = [column.by.mm for column in moved.columns]
    pairs = [abs(a - b) for a in every for b in every]
    assert (moved.any_two.by.mm if moved.any_two else 0) == max(pairs)
    beside = [abs(a - b) for a, b in pairwise(every)]
    assert (moved.neighbours.by.mm if moved.neighbours else 0) == max(beside, default=0)


def test_the_step_at_a_seam_is_the_larger_of_what_either_way_of_the_rings_gives():
    moved = board_movement(striped(), Fraction(6), Fraction(10))
    beech, padauk = wood("beech"), wood("padauk")
    ways = (beech.c_tangential - padauk.c_tangential, beech.c_radial - padauk.c_radial)
    assert {moved.step.one, moved.step.other} == {"beech", "padauk"}
    assert moved.step.by.mm == 20 * 4 * max(abs(way) for way in ways)


def test_a_board_of_one_wood_has_no_step_and_no_parting():
    moved = board_movement(build(Pattern.of([["beech"] * 3] * 3), SPEC, "runs", Shop()), Fraction(6), Fraction(12))
    assert moved.step is None
    assert moved.any_two.by.mm == 0


def test_no_change_of_moisture_moves_nothing():
    moved = board_movement(striped(), Fraction(9), Fraction(9))
    assert not any(column.by for column in moved.columns)
