"""Noise that belongs to a place: even, normal, smooth, and the same however much of it is asked for."""

from __future__ import annotations

import numpy as np

from planner.drawing.preview.grain_noise import along, normal, normal_of, over, spread_out, uniform, words_of


def test_numbers_are_even_and_normal():
    words = words_of(range(50))
    even = uniform(words, 3, np.arange(400))
    assert abs(even.mean() - 0.5) < 0.01
    assert abs(even.std() - 12**-0.5) < 0.01
    bell = normal(words, 4, np.arange(400))
    assert abs(bell.mean()) < 0.02
    assert abs(bell.std() - 1) < 0.02


def test_neither_strips_nor_kinds_nor_places_have_anything_in_common():
    words = words_of([1, 2])
    one, other = normal(words, 5, np.arange(2000))
    third = normal(words, 6, np.arange(2000))[0]
    for a, b in ((one, other), (one, third), (one[:-1], one[1:])):
        assert abs(np.corrcoef(a, b)[0, 1]) < 0.08


def test_what_is_asked_for_later_does_not_change_what_was():
    words = words_of([9])
    assert np.allclose(along(words, 1, 500, 0.5, 20.0)[:, :77], along(words, 1, 77, 0.5, 20.0), atol=1e-5)
    assert np.allclose(
        over(words, 1, (40, 300), 0.5, (6.0, 20.0))[:, :10, :50], over(words, 1, (10, 50), 0.5, (6.0, 20.0)), atol=1e-5
    )


def test_smooth_noise_keeps_its_deviation_and_its_scale():
    field = over(words_of(range(60)), 2, (60, 200), 0.5, (6.0, 20.0), 2.0)
    assert abs(field.std() - 2) < 0.15
    assert np.abs(np.diff(field, axis=2)).mean() < 0.5 * np.abs(np.diff(field, axis=1)).mean()
    # Twice as coarse, it is the same field looked at in fewer places.
    half = over(words_of(range(60)), 2, (30, 100), 1.0, (6.0, 20.0), 2.0)
    assert np.abs(half - field.reshape(60, 30, 2, 100, 2).mean(axis=(2, 4))).max() < 0.15


def test_neighbouring_seeds_share_out_the_whole_range():
    """Of any run of 40 seeds each tenth of the range holds four, give or take three."""
    for first in (0, 17, 2**40):
        for numbers in spread_out(words_of(range(first, first + 40))).T:
            assert np.abs(np.bincount((numbers * 10).astype(int), minlength=10) - 4).max() <= 3


def test_the_normal_distribution_is_as_tabled():
    """Quantiles as in any table of the normal distribution."""
    assert np.abs(normal_of(np.array([0.025, 0.16, 0.5, 0.8413, 0.975])) - [-1.96, -0.9945, 0, 1, 1.96]).max() < 0.001
