"""What is worked into the front or screwed onto it is drawn where the record says, and nothing is that it does not."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from planner.drawing.preview import preview_pixels
from planner.drawing.preview.fittings import IRON
from planner.drawing.preview.frame import frame_of
from planner.drawing.preview.scene import scene_of
from planner.measures import Length
from tests.support.previews import LADDER, drawn, luminance_of, record_of, tones

WOODS = tones()
SERVED = {"use": "serving", "side_border": Length.of_mm(60), "end_border": Length.of_mm(60)}


def pictures(details, along="rows"):
    """The front without and with the details, the frame, and the scene with them."""
    plain = record_of(drawn(LADDER), along, **SERVED)
    worked = record_of(drawn(LADDER), along, **SERVED, details=details)
    scene = scene_of(worked)
    frame = frame_of(scene.width, scene.height, 800)
    fronts = []
    for record in (plain, worked):
        pixels = preview_pixels(record, WOODS, width=800)
        fronts.append(pixels[frame.top : frame.top + frame.down, frame.left : frame.left + frame.across])
    return *fronts, frame, scene, worked


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_a_groove_runs_around_ten_in_from_the_edge_and_ten_wide(along):
    plain, worked, frame, scene, _ = pictures(("groove",), along)
    changed = (plain != worked).any(axis=2)
    x = (np.arange(frame.across) + 0.5) / frame.scale
    y = (np.arange(frame.down) + 0.5) / frame.scale
    inward = np.minimum(np.minimum(x, scene.width - x)[None, :], np.minimum(y, scene.height - y)[:, None])
    assert not changed[(inward < 9) | (inward > 25)].any()
    straight = (inward > 10.8) & (inward < 19.2) & (np.abs(x - scene.width / 2) < 60)[None, :]
    assert changed[straight].mean() > 0.9
    # Its floor lies in its own shade; the side turned to the lamp is lighter than the other.
    middle = frame.across // 2
    column = luminance_of(worked[:, middle - 30 : middle + 30]).mean(axis=1)
    column = column / luminance_of(plain[:, middle - 30 : middle + 30]).mean(axis=1)
    far, near = (column[round(mm * frame.scale)] for mm in (18.0, 12.0))
    assert near < 0.8 * far < far < 1


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_handles_lie_over_their_screws(along):
    plain, worked, frame, scene, record = pictures(("handles",), along)
    (handles,) = (detail for detail in record["details"] if detail["key"] == "handles")
    dark = np.abs(worked.astype(int) - np.array(IRON)).max(axis=2) < 40
    assert not (np.abs(plain.astype(int) - np.array(IRON)).max(axis=2) < 8).all()
    places = [(float(Fraction(x)), float(Fraction(y))) for x, y in handles["screws"]]
    assert len(places) == 4
    if along == "columns":
        places = [(y, scene.height - x) for x, y in places]
    for x, y in places:
        assert dark[round(y * frame.scale), round(x * frame.scale)]
    # And far from them the front is as it was.
    x, y = np.meshgrid(*(np.arange(n) / frame.scale for n in (frame.across, frame.down)))
    away = np.min([np.hypot(x - px, y - py) for px, py in places], axis=0) > 80
    assert np.array_equal(plain[away], worked[away])


def test_what_is_at_the_back_is_not_seen():
    hung = record_of(drawn(LADDER), details=("hanger", "mark"))
    assert np.array_equal(
        preview_pixels(hung, WOODS, width=400), preview_pixels(record_of(drawn(LADDER)), WOODS, width=400)
    )
