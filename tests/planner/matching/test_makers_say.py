"""What the maker says of a wood holds: pinned, barred, left to the background; and what cannot be is said in words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import PlannerError
from planner.matching import alternatives, choose_woods, fewest_woods, score
from planner.woods import WOODS
from tests.support.small_pictures import BOARD_WOODS, FACES, MAPLE, by_colour, random_picture

CELLS, COLOURS = by_colour(FACES[2])


def test_a_pinned_colour_keeps_its_wood_and_the_others_are_chosen_around_it():
    free = choose_woods(CELLS, COLOURS, BOARD_WOODS, background_rgb=MAPLE)
    other = next(w for w in BOARD_WOODS if w != free.wood_of[3])
    held = choose_woods(CELLS, COLOURS, BOARD_WOODS, pinned={3: other}, background_rgb=MAPLE)
    assert held.wood_of[3] == other
    moved = [i for i, (a, b) in enumerate(zip(free.wood_of, held.wood_of, strict=True)) if a != b]
    assert moved != [3] or held.scores != free.scores


def test_a_barred_wood_is_nowhere():
    for line in (
        alternatives(CELLS, COLOURS, BOARD_WOODS, barred=["sapele"]),
        [few.choice for few in fewest_woods(CELLS, COLOURS, BOARD_WOODS, barred=["sapele"])],
    ):
        assert all("sapele" not in one.woods for one in line)


def test_a_colour_left_to_the_background_has_no_wood_and_its_scores_are_those_of_the_board():
    chosen = choose_woods(CELLS, COLOURS, BOARD_WOODS, pinned={0: None}, background_rgb=MAPLE)
    assert chosen.wood_of[0] is None and None not in chosen.wood_of[1:]
    assert chosen.scores == score(CELLS, COLOURS, BOARD_WOODS, chosen.wood_of, background_rgb=MAPLE)


def test_every_colour_may_be_pinned():
    every = dict(enumerate(["sycamore", "beech"] * len(COLOURS)))
    pinned = {i: every[i] for i in range(len(COLOURS))}
    assert choose_woods(CELLS, COLOURS, BOARD_WOODS, pinned=pinned).wood_of == tuple(pinned.values())
    assert choose_woods(CELLS, COLOURS, BOARD_WOODS, pinned=dict.fromkeys(pinned)).woods == ()


@given(st.integers(0, 10**6), st.integers(1, 7), st.data())
@settings(max_examples=40)
def test_whatever_is_pinned_and_barred_is_kept_at_every_place_of_the_line(seed, colours, data):
    cells, shades = random_picture(seed, colours)
    barred = data.draw(st.sets(st.sampled_from(sorted(BOARD_WOODS)), max_size=3))
    allowed = [None, *sorted(set(BOARD_WOODS) - barred)]
    pinned = data.draw(st.dictionaries(st.integers(0, colours - 1), st.sampled_from(allowed)))
    for one in alternatives(cells, shades, BOARD_WOODS, pinned=pinned, barred=barred, background_rgb=MAPLE):
        assert all(one.wood_of[i] == wood for i, wood in pinned.items())
        assert not barred & set(one.woods)
        assert None not in [wood for i, wood in enumerate(one.wood_of) if i not in pinned]


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("no woods on hand. Add the woods", {"woods": {}}),
        ("Every wood on hand is barred. Allow one", {"barred": list(BOARD_WOODS)}),
        ("Colour 2 is to be “teak”, which is not on hand. Bring that wood back", {"pinned": {1: "teak"}}),
        ("Colour 2 is to be “beech”, which is barred. Allow", {"pinned": {1: "beech"}, "barred": ["beech"]}),
        ("Colour 100 is to keep its wood, but the picture has", {"pinned": {99: "beech"}}),
        ("has no colours. Choose a picture", {"colours": []}),
        ("has no cells. Choose a picture", {"cells": np.zeros((0, 3), dtype=np.int64)}),
        ("a colour that is not listed. Read the picture", {"cells": np.array([[40]])}),
    ],
)
@pytest.mark.parametrize("way", [choose_woods, alternatives, fewest_woods])
def test_what_cannot_be_says_what_to_mend(way, words, asked):
    asked = {"cells": CELLS, "colours": COLOURS, "woods": BOARD_WOODS, **asked}
    with pytest.raises(PlannerError, match=words):
        way(asked.pop("cells"), asked.pop("colours"), asked.pop("woods"), **asked)


@pytest.mark.parametrize("price", [-0.1, 101, float("nan"), float("inf")])
def test_a_price_that_is_none_is_refused(price):
    with pytest.raises(PlannerError, match="between 0 and 100"):
        choose_woods(CELLS, COLOURS, BOARD_WOODS, shape_price=price)


def test_all_background_has_nothing_to_lose():
    cells = np.full((3, 3), -1)
    found = choose_woods(cells, [(1, 2, 3)], BOARD_WOODS, background_rgb=MAPLE)
    assert (found.scores.legibility, found.scores.distance) == (1, 0)


def test_colours_beyond_those_weighed_go_with_the_nearest_and_a_pinned_one_never_leads():
    draw = np.random.default_rng(4)
    colours = [tuple(c) for c in draw.integers(0, 256, (300, 3)).tolist()]
    cells = draw.integers(0, 300, (60, 60))
    woods = {name: wood.finished_rgb for name, wood in WOODS.items()}
    found = choose_woods(cells, colours, woods, pinned={299: "wenge"}, background_rgb=MAPLE)
    assert len(found.wood_of) == 300 and found.wood_of[299] == "wenge"
    assert found.scores == score(cells, colours, woods, found.wood_of, background_rgb=MAPLE)
