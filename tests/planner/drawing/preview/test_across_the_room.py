"""What an eye across the room has of a board: fine differences go, large areas stay, colour goes before light."""

from __future__ import annotations

import numpy as np
import pytest

from planner.drawing.preview import PAPER, preview_pixels
from planner.drawing.preview.frame import frame_of
from planner.drawing.preview.room import TO_OPPONENT, as_seen, degrees, finest_mm
from planner.drawing.preview.scene import scene_of
from planner.measures import Length
from planner.picture.colour import ciede2000
from tests.support.previews import BELL, drawn, luminance_of, mean_lab, record_of, strewn, tones

WOODS = tones()
# Light and dark of one colour, and two colours of one light: a step along red and green in the opponent channels.
GREY = np.full(3, 0.3)
REDDER = np.linalg.inv(TO_OPPONENT) @ (TO_OPPONENT @ GREY + [0, 0.02, 0])


def contrast_left(one, other, cycles_per_degree: float, metres: float = 2.0) -> float:
    """The share of the contrast between two colours in stripes that an eye at that distance keeps."""
    mm_per_px = 0.2
    pixels_a_cycle = 1 / cycles_per_degree / degrees(mm_per_px, metres)
    wave = 0.5 + 0.5 * np.sin(2 * np.pi * np.arange(400) / pixels_a_cycle)
    light = one + (np.asarray(other) - one) * wave[None, :, None]
    picture = np.broadcast_to(light, (8, 400, 3)).astype(np.float32)
    channel = (np.asarray(other) - one) @ (np.asarray(other) - one)
    before, after = (
        (stripes[4, 100:300] - one) @ (np.asarray(other) - one) / channel
        for stripes in (picture, as_seen(picture, mm_per_px, metres))
    )
    return float((after.max() - after.min()) / (before.max() - before.min()))


def test_a_flat_colour_is_seen_as_it_is():
    flat = np.broadcast_to(np.array([0.5, 0.2, 0.1], dtype=np.float32), (40, 60, 3))
    assert as_seen(flat, 0.5, 3.0) == pytest.approx(flat, abs=1e-4)


def test_stripes_of_light_go_where_the_eyes_acuity_ends_and_wide_ones_stay():
    """Normal acuity resolves a minute of arc, 30 stripes of light and dark a degree (ISO 8596, from memory)."""
    left = [contrast_left(GREY, GREY * 0.5, cycles) for cycles in (0.8, 3, 10, 30)]
    assert left == sorted(left, reverse=True)
    assert left[0] > 0.85 and 0.3 < left[2] < 0.6 and left[3] < 0.02


def test_stripes_of_colour_go_before_stripes_of_light():
    """About 5 to 10 stripes a degree of equal light melt together (K. T. Mullen, Journal of Physiology 359, 1985: 11
    to 12 at the most; from memory)."""
    for cycles in (1.5, 3, 6, 10):
        assert contrast_left(GREY, REDDER, cycles) < contrast_left(GREY, GREY * 0.5, cycles)
    assert contrast_left(GREY, REDDER, 12) < 0.12


def test_twice_as_far_and_twice_as_large_look_the_same():
    picture = np.random.default_rng(2).random((50, 70, 3)).astype(np.float32) * 0.5 + 0.2
    assert as_seen(picture, 1.0, 4.0) == pytest.approx(as_seen(picture, 0.5, 2.0), abs=1e-6)


def test_a_pixel_is_as_fine_as_an_eye_needs_it():
    for metres in (0.5, 2.0, 10.0):
        # Two pixels a stripe pair at the most that a pixel grid can hold: beyond acuity.
        assert 1 / (2 * degrees(finest_mm(metres), metres)) > 30


def test_the_further_away_the_less_grain_is_left_while_the_woods_keep_their_colours():
    record = record_of(drawn(BELL))
    scene = scene_of(record)
    frame = frame_of(scene.width, scene.height, 600)
    # The middle of the upper border: one wood, nothing but grain in it.
    band = slice(frame.top + 10, frame.top + round(22 * frame.scale)), slice(frame.left + 40, frame.left + 540)
    rough, labs = [], []
    for metres in (None, 1.5, 4.0, 12.0):
        pixels = preview_pixels(record, WOODS, width=600, metres=metres)
        assert pixels.shape == (frame.height, frame.width, 3)
        light = luminance_of(pixels[band])
        rough.append(np.abs(np.diff(light, axis=0)).mean())
        labs.append(mean_lab(pixels[band]))
    assert rough == sorted(rough, reverse=True) and rough[-1] < 0.35 * rough[0]
    # From further away so narrow a border takes on some of the paper's colour.
    assert all(ciede2000(labs[0], lab) < 3 for lab in labs[1:3])


def test_small_tiles_run_together_far_away():
    record = record_of(strewn(30), method="tiles", pitch=Length.of_mm(11))
    spread = []
    for metres in (1.0, 6.0, 18.0):
        pixels = preview_pixels(record, WOODS, width=500, metres=metres)
        spread.append(luminance_of(pixels[150:350, 150:350]).std())
    assert spread == sorted(spread, reverse=True) and spread[-1] < 0.6 * spread[0]


def test_the_paper_around_keeps_its_colour_from_any_distance():
    for metres in (2.0, 8.0):
        pixels = preview_pixels(record_of(drawn(BELL)), WOODS, width=500, metres=metres).astype(float)
        paper = ((np.array(PAPER) / 255 + 0.055) / 1.055) ** 2.4
        for line in (pixels[2], pixels[:, 2], pixels[-3]):
            light = ((line / 255 + 0.055) / 1.055) ** 2.4 / paper
            assert (light.max(axis=1) - light.min(axis=1)).max() < 0.02
