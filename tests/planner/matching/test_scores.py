"""What is said of a choice of woods is counted side by side, as it is defined."""

from __future__ import annotations

import numpy as np
import pytest

from planner.errors import PlannerError
from planner.matching import score
from planner.picture.colour import srgb_to_lab
from tests.support.small_pictures import BOARD_WOODS, FACES, MAPLE, apart, by_colour, plain_scores, random_picture

BLACK, WHITE, GREY = (0, 0, 0), (255, 255, 255), (118, 118, 118)


def asked(cells, colours, woods, wood_of, background=None) -> tuple[float, ...]:
    found = score(np.asarray(cells), colours, woods, wood_of, background_rgb=background)
    return found.legibility, found.order, found.false_edges, found.distance


@pytest.mark.parametrize("background", [None, MAPLE], ids=["on nothing", "on maple"])
@pytest.mark.parametrize("seed", range(6))
def test_scores_are_those_counted_one_side_after_the_other(seed, background):
    cells, colours = random_picture(seed, 5)
    names = list(BOARD_WOODS)
    wood_of = [names[(seed + 2 * i) % 5] for i in range(5)]
    plain = plain_scores(cells, colours, BOARD_WOODS, wood_of, background)
    assert asked(cells, colours, BOARD_WOODS, wood_of, background) == pytest.approx(plain)


@pytest.mark.parametrize("path", FACES, ids=lambda p: p.stem)
def test_the_scores_of_a_face_are_those_counted_one_side_after_the_other(path):
    cells, colours = by_colour(path)
    names = list(BOARD_WOODS)
    wood_of = [min(names, key=lambda w: apart(colour, BOARD_WOODS[w])) for colour in colours]
    plain = plain_scores(cells, colours, BOARD_WOODS, wood_of, MAPLE)
    assert asked(cells, colours, BOARD_WOODS, wood_of, MAPLE) == pytest.approx(plain)


def test_two_regions_in_one_wood_keep_no_edge_and_in_black_and_white_all_of_it():
    woods = {"black": BLACK, "white": WHITE}
    assert asked([[0, 1]], [BLACK, WHITE], woods, ["black", "white"]) == (1, 1, 0, pytest.approx(0, abs=1e-6))
    assert asked([[0, 1]], [BLACK, WHITE], woods, ["white", "white"])[:3] == (0, 0, 0)


def test_a_light_made_dark_keeps_its_edge_and_loses_its_order():
    assert asked([[0, 1]], [BLACK, WHITE], {"a": BLACK, "b": WHITE}, ["b", "a"])[:3] == (1, 0, 0)


def test_a_flat_side_told_apart_in_wood_is_a_false_edge():
    near = (124, 124, 124)
    assert apart(GREY, near) < 8
    # One side of three between the two greys, two within them.
    cells = [[0, 0, 1, 1]]
    assert asked(cells, [GREY, near], {"a": BLACK, "b": WHITE}, ["a", "b"])[:3] == (1, 1, pytest.approx(1 / 3))


def test_half_of_twelve_keeps_half_of_an_edge():
    step = next(g for g in range(120, 200) if apart(GREY, (g, g, g)) >= 6)
    share = apart(GREY, (step, step, step)) / 12
    assert 0.5 <= share < 0.6
    woods = {"a": GREY, "b": (step, step, step)}
    assert asked([[0, 1]], [BLACK, WHITE], woods, ["a", "b"])[0] == pytest.approx(share)
    assert srgb_to_lab(woods["b"])[0] > srgb_to_lab(GREY)[0]


def test_a_picture_in_the_very_wood_of_its_background_is_not_to_be_seen():
    assert asked([[0]], [BLACK], {"a": MAPLE}, ["a"], MAPLE)[0] == 0
    assert asked([[0]], [BLACK], {"a": BLACK}, ["a"], MAPLE)[0] == 1


def test_a_colour_left_to_the_background_counts_as_background():
    cells = np.array([[0, 1, 1], [2, 2, 1]])
    colours, woods = [BLACK, WHITE, GREY], {"black": BLACK, "white": WHITE}
    left = score(cells, colours, woods, ["black", None, "white"], background_rgb=MAPLE)
    never_there = score(
        np.where(cells == 1, -1, cells), colours, woods, ["black", "black", "white"], background_rgb=MAPLE
    )
    assert left == never_there


def test_a_wood_that_is_not_there_and_a_colour_without_one_are_said():
    with pytest.raises(PlannerError, match=r"“teak” is not among the woods\. Choose another"):
        score(np.array([[0]]), [BLACK], {"beech": GREY}, ["teak"])
    with pytest.raises(PlannerError, match="1 colours and 2 woods"):
        score(np.array([[0]]), [BLACK], {"beech": GREY}, ["beech", "beech"])
