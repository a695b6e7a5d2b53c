"""Finished colours are stand-ins, and still plausible and told apart by eye."""

from itertools import combinations

import numpy as np
import pytest

from planner.picture.colour import ciede2000, srgb_to_lab
from planner.woods import WOODS

LAB = {wood_id: srgb_to_lab(np.array([[found.finished_rgb]], dtype=np.uint8))[0, 0] for wood_id, found in WOODS.items()}


def difference(one, other):
    return float(ciede2000(LAB[one], LAB[other]))


def lightness(wood_id):
    return float(LAB[wood_id][0])


def hue(wood_id):
    _, a, b = LAB[wood_id]
    return float(np.degrees(np.arctan2(b, a)))


@pytest.mark.parametrize("wood_id", WOODS)
def test_every_finished_colour_is_marked_as_a_stand_in(wood_id):
    assert WOODS[wood_id].finished_rgb_is_stand_in
    assert all(0 <= channel <= 255 for channel in WOODS[wood_id].finished_rgb)


def test_no_two_woods_share_a_colour_and_neighbours_differ_noticeably():
    # A CIEDE2000 difference of about 2.3 is just noticeable (common practice, from memory).
    assert min(difference(one, other) for one, other in combinations(WOODS, 2)) > 2.3


def test_the_woods_of_a_first_palette_are_told_apart_easily():
    first = ("sycamore", "birch-yellow", "beech", "sapele", "walnut-black", "padauk")
    assert min(difference(one, other) for one, other in combinations(first, 2)) > 5


def test_light_woods_are_lighter_than_middling_ones_and_those_than_dark_ones():
    light = ("maple-hard", "maple-soft", "sycamore", "birch-yellow", "beech", "ash-white", "basswood")
    middling = ("cherry-black", "khaya", "mahogany", "sapele", "jatoba", "teak", "iroko", "alder-red")
    dark = ("walnut-black", "wenge")
    assert min(map(lightness, light)) > max(map(lightness, middling))
    assert min(map(lightness, middling)) > max(map(lightness, dark))


def test_purpleheart_is_purple_padauk_red_and_osage_orange_yellow():
    others = [wood_id for wood_id in WOODS if wood_id != "purpleheart"]
    assert hue("purpleheart") < min(map(hue, others))
    assert hue("padauk") < 50 and LAB["padauk"][1] == max(lab[1] for lab in LAB.values())
    assert LAB["osage-orange"][2] == max(lab[2] for lab in LAB.values())
    assert hue("yellow-poplar") == max(map(hue, WOODS))
