"""Colours brought together are seen to have been two where cells fall into two halves, not where they scatter."""

from __future__ import annotations

import numpy as np

from planner.picture.merging import two_taken_for_one


def scattered(colours: np.ndarray) -> np.ndarray:
    return colours + np.random.default_rng(7).normal(0, 0.7, colours.shape)


def ground_with_outline(outline: tuple[float, float, float]) -> tuple[np.ndarray, np.ndarray]:
    """A dark ground with a line of another colour in it; and all of it in the ground's."""
    cells = np.full((20, 20, 3), (11.0, 11.0, 13.0))
    cells[6, 4:16] = outline
    return scattered(cells), np.full((20, 20, 3), (11, 11, 13), dtype=np.uint8)


def test_an_outline_near_the_ground_is_seen_to_be_of_another_colour():
    assert two_taken_for_one(*ground_with_outline((12, 13, 2)))


def test_what_scatters_as_noise_does_is_of_one_colour():
    assert not two_taken_for_one(*ground_with_outline((11, 11, 13)))


def test_a_difference_nobody_sees_is_none():
    cells = np.full((20, 20, 3), (200.0, 205.0, 210.0))
    cells[:10] += 2.5
    assert not two_taken_for_one(cells, np.full((20, 20, 3), (201, 206, 211), dtype=np.uint8))


def test_a_few_cells_of_another_colour_are_no_half():
    before, rgb = ground_with_outline((11, 11, 13))
    before[3, 3] = (12, 13, 2)
    assert not two_taken_for_one(before, rgb)
