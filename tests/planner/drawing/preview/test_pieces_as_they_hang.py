"""A record's pieces on the front of the board: every one in its place, cut from a place of its own in a strip."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import numpy as np
import pytest

from planner.drawing.preview.scene import scene_of
from planner.measures import ZERO
from tests.support.previews import BOAT, BORDER, DRAWINGS, LADDER, cells_of, drawn, record_of, strewn

BUILDS = [
    ("tiles", "rows"),
    ("tiles", "columns"),
    ("runs", "rows"),
    ("runs", "columns"),
    ("deep", "rows"),
    ("deep", "columns"),
    ("panels", "rows"),
    ("panels", "columns"),
]


def at(scene, x, y):
    """Numbers of the pieces that lie under a point."""
    left, top, right, bottom = scene.boxes.T
    return np.flatnonzero((left <= x) & (x < right) & (top <= y) & (y < bottom))


@pytest.mark.parametrize(("method", "along"), BUILDS)
@pytest.mark.parametrize("drawing", ["boat", "fish"])
def test_the_front_is_the_picture_within_its_borders_and_nothing_lies_on_another(drawing, method, along):
    record = record_of(drawn(DRAWINGS[drawing]), along, method=method)
    scene = scene_of(record)
    cells = cells_of(record)
    assert (scene.width, scene.height) == (40 * 2 + 20 * len(cells[0]), 30 * 2 + 20 * len(cells))
    for row, woods in enumerate(cells):
        for column, wood in enumerate(woods):
            (piece,) = at(scene, 40 + 20 * column + 10, 30 + 20 * row + 10)
            assert scene.woods[scene.wood[piece]] == wood
    for x, y in ((1, 1), (scene.width - 1, 1), (1, scene.height - 1), (scene.width / 2, 15), (20, scene.height / 2)):
        (piece,) = at(scene, x, y)
        assert scene.woods[scene.wood[piece]] == BORDER
    sides = scene.boxes[:, 2:] - scene.boxes[:, :2]
    assert (sides > 0).all()
    assert np.prod(sides, axis=1).sum() == pytest.approx(scene.width * scene.height)


def test_a_board_without_borders_is_the_picture_alone():
    scene = scene_of(record_of(strewn(6), method="runs", side_border=ZERO, end_border=ZERO))
    assert (scene.width, scene.height) == (120, 120)
    assert scene.boxes.min() == 0 and scene.boxes.max() == 120


@pytest.mark.parametrize(("method", "along"), [build for build in BUILDS if build[0] != "panels"])
def test_each_part_is_cut_from_its_own_place_in_a_strip_of_its_wood(method, along):
    scene = scene_of(record_of(strewn(14), along, method=method))
    dealt = scene.dealt
    sides = scene.boxes[:, 2:] - scene.boxes[:, :2]
    long, wide = (sides[:, 1], sides[:, 0]) if along == "columns" else (sides[:, 0], sides[:, 1])
    by_strip = defaultdict(list)
    for n, strip in enumerate(dealt.strip.tolist()):
        assert dealt.wood[strip] == scene.wood[n]
        assert wide[n] <= dealt.width[strip] + 1e-9
        by_strip[strip].append((dealt.at[n], dealt.at[n] + long[n]))
    assert len(by_strip) == len(dealt.wood)
    for strip, places in by_strip.items():
        places.sort()
        assert places[0][0] >= 0 and places[-1][1] <= dealt.length[strip] + 1e-9
        # The saw takes its kerf between any two.
        assert all(begin - end >= 3 - 1e-9 for (_, end), (begin, _) in pairwise(places))


def test_neighbours_of_one_length_go_on_in_one_strip_a_kerf_apart():
    scene = scene_of(record_of(drawn(LADDER), method="tiles"))
    rung = [n for n in range(len(scene.wood)) if scene.woods[scene.wood[n]] == "beech"]
    assert len(rung) == 9 and len(set(scene.dealt.strip[rung].tolist())) == 1
    assert np.diff(scene.boxes[rung, 0]).tolist() == [20] * 8
    assert np.diff(scene.dealt.at[rung]) == pytest.approx(np.full(8, 23.0))


def test_slices_of_a_panel_show_the_same_strips_a_little_moved_and_another_panel_others():
    pattern = drawn("kwkwkw\nkwkwkw\nkwkwkw\nwkwkwk\nbbssbb")
    record = record_of(pattern, method="panels", quantity=1)
    scene = scene_of(record)
    assert scene.end_grain
    rows = defaultdict(list)
    for n in np.argsort(scene.boxes[:, 0], kind="stable").tolist():
        rows[round(scene.boxes[n, 1])].append(n)
    # Rows 2, 3 and 4 of the board's picture are slices of one panel, row 5 is one of it end for end.
    one, two, _, back = (rows[30 + 20 * row] for row in (1, 2, 3, 4))
    strip = scene.dealt.strip
    assert strip[one].tolist() == strip[two].tolist() == strip[back][::-1].tolist()
    assert scene.dealt.turned[back].all() and not scene.dealt.turned[one].any()
    assert (scene.dealt.at[two] > scene.dealt.at[one]).all()
    other = rows[30 + 20 * 5]
    assert not set(strip[other].tolist()) & set(strip[one].tolist())


def test_an_older_record_reads_as_a_board_of_rows():
    record = record_of(drawn(BOAT))
    for key in ("panels", "details"):
        del record[key]
    del record["spec"]["along"]
    for row in record["laid"]:
        del row["first"], row["deep"]
    scene = scene_of(record)
    assert not scene.upright and not scene.end_grain and scene.details == {}
    assert np.array_equal(scene.boxes, scene_of(record_of(drawn(BOAT))).boxes)


def test_a_board_hung_upright_begins_its_strips_at_the_bottom():
    scene = scene_of(record_of(drawn("kkkb\nkkkb\nkkkb"), "columns", method="tiles"))
    assert scene.upright
    walnut = [n for n in range(len(scene.wood)) if scene.woods[scene.wood[n]] == "walnut-black"]
    column = sorted((n for n in walnut if scene.boxes[n, 0] == 60), key=lambda n: -scene.boxes[n, 1])
    places = scene.dealt.at[column]
    assert len(column) == 3 and (np.diff(places) > 0).all()
