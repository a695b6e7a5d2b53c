"""A drawn grid is plain by the marks of its kind of picture, and light left in the colours is seen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.picture.plain import Evidence, light_is_left, plainly_drawn

PLAIN = Evidence(
    stands_out=2.0,
    fills=True,
    turned=False,
    smooth=False,
    lossless=False,
    scattered=False,
    lit=False,
    pitch=12.0,
    most=32,
    left=20.0,
    grain=0.5,
    split=0.0,
    noise=0.4,
)


@pytest.mark.parametrize(
    "but",
    [
        {"stands_out": 0.5},
        {"stands_out": 1.0, "fills": False},
        {"split": 0.05},
        {"split": 0.01, "lossless": True},
        {"noise": 1.2, "turned": True},
        {"noise": 1.2, "lossless": True},
        {"noise": 8.0, "grain": 2.0},
        {"most": 150},
        {"pitch": 4.0, "turned": True},
        {"smooth": True, "grain": 1.4},
    ],
)
def test_each_doubt_alone_leaves_a_plain_grid_unsure(but):
    assert plainly_drawn(PLAIN)
    assert not plainly_drawn(replace(PLAIN, **but))


@pytest.mark.parametrize(
    "but",
    [
        # A lossy file's ripples, a camera's scatter, a drawing shaded by itself, a filter that is redrawn exactly.
        {"split": 0.01, "noise": 1.8},
        {"lit": True, "noise": 1.2, "grain": 3.0},
        {"noise": 9.0, "grain": 1.0},
        {"smooth": True, "left": 0.1, "grain": 0.1, "stands_out": 0.4, "lossless": True},
    ],
)
def test_what_belongs_to_a_kind_of_picture_is_no_doubt(but):
    assert plainly_drawn(replace(PLAIN, **but))


def patchwork(side: int) -> np.ndarray:
    colours = np.array([(200, 60, 50), (70, 130, 86), (48, 92, 160), (236, 228, 212), (120, 72, 140)], dtype=float)
    return colours[np.random.default_rng(3).integers(0, len(colours), (side, side))]


def test_light_that_falls_over_a_patchwork_is_seen_though_no_two_cells_of_a_colour_meet():
    cells = patchwork(30)
    rng = np.random.default_rng(4)
    assert not light_is_left(cells + rng.normal(0, 1.5, cells.shape))
    falls = np.linspace(1.0, 0.75, 30)[None, :, None]
    assert light_is_left(cells * falls + rng.normal(0, 1.5, cells.shape))
