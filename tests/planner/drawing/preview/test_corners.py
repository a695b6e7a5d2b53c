"""A board's corners: taken off round, the paper beside them, and chamfers that meet on the diagonal."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from planner.drawing.preview import PAPER, preview_pixels
from planner.drawing.preview.frame import frame_of
from planner.drawing.preview.scene import scene_of
from planner.measures import Length
from tests.support.previews import luminance_of, record_of, strewn, tones

WOODS = tones()
SERVED = {"use": "serving", "side_border": Length.of_mm(40), "end_border": Length.of_mm(40)}


@cache
def picture(*details, width=1600):
    record = record_of(strewn(6), **SERVED, details=details)
    scene = scene_of(record)
    return preview_pixels(record, WOODS, width=width), frame_of(scene.width, scene.height, width)


@pytest.mark.parametrize(("details", "radius"), [((), 2.0), (("round",), 6.0)])
def test_all_four_are_taken_off_as_the_edge_is(details, radius):
    pixels, frame = picture(*details)
    right, bottom = frame.left + frame.across - 1, frame.top + frame.down - 1
    for x, y, into_x, into_y in (
        (frame.left, frame.top, 1, 1),
        (right, frame.top, -1, 1),
        (frame.left, bottom, 1, -1),
        (right, bottom, -1, -1),
    ):
        # The very corner is paper, in shade or not: nearly without colour. Where the arc ends it is wood.
        corner = pixels[y, x].astype(int)
        assert corner[0] - corner[2] < 25
        inward = round(radius * frame.scale)
        wood = pixels[y + into_y * inward, x + into_x * inward].astype(int)
        assert wood[0] - wood[2] > 40


def test_towards_the_lamp_no_shadow_stands_out_from_under_a_round_corner():
    pixels, frame = picture("round")
    side = round(6 * frame.scale * 0.2)
    beside = pixels[frame.top : frame.top + side, frame.left : frame.left + side].astype(int)
    assert np.abs(beside[: side // 2, : side // 2] - np.array(PAPER)).max() < 30
    away = pixels[frame.top + frame.down - 1, frame.left + frame.across - 1]
    assert luminance_of(away) < luminance_of(np.array(PAPER)) * 0.75


def test_two_chamfers_meet_on_the_diagonal_and_shade_no_place_twice():
    chamfered, frame = picture("chamfer")
    eased, _ = picture()
    share = lambda *part: luminance_of(chamfered[part].astype(float)) / luminance_of(eased[part].astype(float))  # noqa: E731
    right, bottom = frame.left + frame.across, frame.top + frame.down
    near, far = round(2.4 * frame.scale), round(2.7 * frame.scale)
    middle = frame.left + frame.across // 2
    lower = share(bottom - near, slice(middle - 60, middle + 60)).mean()
    # In the corner's square, but nearer to the lower edge: as on the lower edge.
    assert share(bottom - near + 3, slice(right - far, right - near - 1)).mean() == pytest.approx(lower, abs=0.08)
    # Away from the edges both boards are one.
    inner = slice(frame.top + 40, bottom - 40), slice(frame.left + 40, right - 40)
    assert np.array_equal(chamfered[inner], eased[inner])
