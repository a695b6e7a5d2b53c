"""A pattern laid in another wood is judged as any choice of woods is, with the pattern itself as the picture."""

from __future__ import annotations

import numpy as np
import pytest

from planner.errors import PlannerError
from planner.matching import score
from planner.matching.relaid import Laid
from planner.pattern import Pattern

LOOKS = {"pale": (230, 210, 170), "dark": (60, 40, 30), "red": (150, 60, 40), "rust": (160, 70, 45)}
PICTURE = Pattern.of(
    [
        [None, "dark", "dark", None],
        ["dark", "red", "rust", "dark"],
        [None, "dark", "dark", None],
    ]
)


def by_scoring(worn: dict[str, str], border: str = "pale"):
    cells = np.array([list(row) for row in PICTURE.rows]) - 1
    colours = [LOOKS[wood] for wood in PICTURE.woods]
    return score(cells, colours, LOOKS, [worn.get(w, w) for w in PICTURE.woods], background_rgb=LOOKS[border])


@pytest.mark.parametrize("wood", ["dark", "red", "rust"])
@pytest.mark.parametrize("other", LOOKS)
def test_each_change_scores_as_the_scoring_of_a_choice_has_it(wood, other):
    assert Laid(PICTURE, LOOKS, "pale").with_wood(wood, other).scores == by_scoring({wood: other})


@pytest.mark.parametrize("border", LOOKS)
def test_before_another_background_likewise(border):
    assert Laid(PICTURE, LOOKS, "pale").before(border).scores == by_scoring({}, border)


def test_two_reds_in_one_can_be_read_and_the_frame_in_pale_cannot():
    laid = Laid(PICTURE, LOOKS, "pale")
    assert laid.with_wood("rust", "red").legible
    assert not laid.with_wood("dark", "pale").legible


def test_a_wood_without_a_colour_is_refused_in_words():
    with pytest.raises(PlannerError, match="has no colour"):
        Laid(PICTURE, LOOKS, "oak")
