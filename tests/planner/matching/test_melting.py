"""Where woods touch that are hard to tell apart, and where an edge of the picture is lost inside one wood."""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from planner.matching.melting import melting

# Two light woods close together and a dark one.
WOODS = {"birch": (226, 190, 132), "maple": (226, 201, 157), "walnut": (84, 58, 43)}
COLOURS = [(240, 230, 200), (200, 180, 140), (40, 30, 20), (90, 40, 30)]


def melts(cells, wood_of, **more):
    return melting(np.array(cells, dtype=np.int64), COLOURS, WOODS, wood_of, **more)


def test_two_woods_hard_to_tell_apart_are_named_with_the_sides_along_which_they_touch():
    found = melts([[0, 1], [0, 1], [2, 2]], ["birch", "maple", "walnut", "walnut"])
    assert [(one.one, one.other, one.sides) for one in found] == [("birch", "maple", 2)]


def test_their_difference_is_ciede2000_as_another_library_reckons_it():
    """coloraide's own CIEDE2000, under the same white as sRGB's."""
    one, other = (Color("srgb", [c / 255 for c in WOODS[name]]).convert("lab-d65") for name in ("birch", "maple"))
    found = melts([[0, 1]], ["birch", "maple", "walnut", "walnut"])
    assert found[0].difference == pytest.approx(one.delta_e(other, method="2000", space="lab-d65"), abs=0.01)


def test_woods_that_are_told_apart_at_a_glance_do_not_melt_however_often_they_touch():
    assert melts([[0, 2], [2, 0]], ["birch", "maple", "walnut", "walnut"]) == ()


def test_an_edge_inside_one_wood_names_the_colours_that_became_one_the_longest_edge_first():
    found = melts([[0, 1, 1], [2, 3, 3], [2, 3, 3]], ["birch", "birch", "birch", "birch"])
    (lost,) = found
    assert (lost.one, lost.other, lost.sides) == ("birch", "birch", 6)
    assert lost.colours[0] in ((1, 3), (2, 3)) and set(lost.colours) == {(0, 1), (0, 2), (1, 3), (2, 3)}


def test_the_outline_melts_where_the_wood_behind_the_picture_is_nearly_its_own():
    found = melts([[-1, 0, -1]], ["maple", "maple", "walnut", "walnut"], background_rgb=WOODS["birch"])
    # Left, right, and the two sides towards the rim, behind which the border lies.
    assert [(one.one, one.other, one.sides) for one in found] == [("maple", None, 4)]


def test_a_colour_left_to_the_background_is_background_to_its_neighbours():
    found = melts([[0, 1]], [None, "maple", "walnut", "walnut"], background_rgb=WOODS["birch"])
    assert [(one.one, one.other, one.sides) for one in found] == [("maple", None, 4)]


def test_without_a_wood_behind_nothing_is_said_of_the_outline():
    assert melts([[-1, 0]], ["maple", "maple", "walnut", "walnut"]) == ()
