"""CIEDE2000 and CIELAB against the published pairs and a general colour library."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color

from planner.picture.colour import ciede2000, srgb_to_lab

# Sharma, Wu, Dalal, Color Research and Application 30 (2005), table 1.
PAIRS = [
    [float(row[key]) for key in ("L1", "a1", "b1", "L2", "a2", "b2", "dE00")]
    for row in csv.DictReader(
        line
        for line in (Path(__file__).parents[1] / "reference" / "ciede2000-pairs.csv").read_text().splitlines()
        if not line.startswith("#")
    )
]


def test_all_thirty_four_pairs_are_there():
    assert len(PAIRS) == 34


@pytest.mark.parametrize("pair", PAIRS, ids=range(1, 35))
def test_the_published_difference_is_met_to_its_last_digit(pair):
    one, other, published = pair[:3], pair[3:6], pair[6]
    assert abs(float(ciede2000(one, other)) - published) < 5e-5
    assert abs(float(ciede2000(other, one)) - published) < 5e-5


def test_lab_and_difference_agree_with_a_general_library():
    rng = np.random.default_rng(7)
    colours = rng.integers(0, 256, (300, 2, 3))
    ours = srgb_to_lab(colours)
    difference = ciede2000(ours[:, 0], ours[:, 1])
    for i, (one, other) in enumerate(colours):
        theirs = [Color("srgb", [c / 255 for c in rgb]).convert("lab-d65") for rgb in (one, other)]
        assert np.allclose(ours[i, 0], theirs[0].coords(), atol=1e-9)
        assert abs(difference[i] - theirs[0].delta_e(theirs[1], method="2000", space="lab-d65")) < 1e-9


def test_black_and_white_are_the_ends_of_lightness():
    assert np.allclose(srgb_to_lab([[0, 0, 0], [255, 255, 255]]), [[0, 0, 0], [100, 0, 0]], atol=1e-6)
