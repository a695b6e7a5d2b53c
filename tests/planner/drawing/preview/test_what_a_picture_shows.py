"""A board's picture in real grain, looked at pixel by pixel: its woods' colours, its joints, its grain, its edge."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
import pytest

from planner.drawing.preview import PAPER, compose, dry_from_oiled, preview_pixels
from planner.drawing.preview.frame import frame_of, pixel_boxes
from planner.drawing.preview.light import EASED, Edge, front_light
from planner.drawing.preview.scene import scene_of
from planner.measures import Length
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.support.previews import DRAWINGS, SIX_WOODS, drawn, luminance_of, mean_lab, record_of, strewn, tones

WIDTH = 640
WOOD_TONES = tones()


@cache
def seen(drawing: str, finish: str = "oiled", method: str = "runs", along: str = "rows"):
    """A scene, its frame, the pixels of the board's front, and the number of the piece at each of them."""
    record = record_of(drawn(DRAWINGS[drawing]), along, method=method)
    scene = scene_of(record)
    frame = frame_of(scene.width, scene.height, WIDTH)
    pixels = preview_pixels(record, WOOD_TONES, width=WIDTH, finish=finish)
    front = pixels[frame.top : frame.top + frame.down, frame.left : frame.left + frame.across]
    piece = np.zeros(front.shape[:2], dtype=int)
    for n, (left, top, right, bottom) in enumerate(pixel_boxes(scene, frame).tolist()):
        piece[top:bottom, left:right] = n
    return scene, frame, front, piece


def sample(wood: str, finish: str):
    oiled = WOOD_TONES[wood].oiled
    return srgb_to_lab(oiled if finish == "oiled" else dry_from_oiled(oiled))


@pytest.mark.parametrize("finish", ["oiled", "dry"])
@pytest.mark.parametrize("drawing", DRAWINGS)
def test_the_mean_colour_of_each_woods_area_is_its_samples(drawing, finish):
    scene, _, front, piece = seen(drawing, finish)
    wood = scene.wood[piece]
    assert len(scene.woods) >= 4
    for number, name in enumerate(scene.woods):
        apart = ciede2000(mean_lab(front[wood == number]), sample(name, finish))
        assert apart < 2, (name, apart)


@pytest.mark.parametrize("method", ["runs", "tiles", "panels"])
def test_so_it_is_in_any_build(method):
    scene, _, front, piece = seen("otter", method=method)
    wood = scene.wood[piece]
    for number, name in enumerate(scene.woods):
        assert ciede2000(mean_lab(front[wood == number]), sample(name, "oiled")) < 2, name


@pytest.mark.parametrize("finish", ["oiled", "dry"])
@pytest.mark.parametrize("drawing", DRAWINGS)
def test_across_a_seam_of_two_woods_their_colours_differ_by_half_their_samples_difference_at_least(drawing, finish):
    scene, frame, front, piece = seen(drawing, finish)
    wood = scene.wood[piece]
    near = round(20 * frame.scale / 2)
    seams = 0
    for a, b in combinations(range(len(scene.woods)), 2):
        beside_a, beside_b = _beside(wood, a, b, near), _beside(wood, b, a, near)
        if not beside_a.any():
            continue
        seams += 1
        differ = ciede2000(mean_lab(front[beside_a]), mean_lab(front[beside_b]))
        samples = ciede2000(sample(scene.woods[a], finish), sample(scene.woods[b], finish))
        assert differ >= samples / 2, (scene.woods[a], scene.woods[b], differ, samples)
    assert seams >= 4


def _beside(wood, one, other, near):
    """Pixels of a wood so near another, up, down, left or right."""
    there = wood == other
    found = np.zeros(wood.shape, dtype=bool)
    for axis in (0, 1):
        # Of so many pixels before and behind each, how many are of the other.
        around = [(0, 0), (0, 0)]
        around[axis] = (near + 1, near)
        counted = np.moveaxis(np.cumsum(np.pad(there, around), axis=axis), axis, 0)
        found |= np.moveaxis(counted[2 * near + 1 :] > counted[: -2 * near - 1], 0, axis)
    return found & (wood == one)


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_a_fine_dark_line_lies_at_every_joint_and_nowhere_else(along):
    record = record_of(drawn("wwwwww\n" * 6), along, method="tiles")
    scene = scene_of(record)
    frame = frame_of(scene.width, scene.height, 1600)
    pixels = preview_pixels(record, WOOD_TONES, width=1600)
    light = luminance_of(pixels[frame.top :, frame.left :])
    birch = [n for n in range(len(scene.wood)) if scene.woods[scene.wood[n]] == "birch-yellow"]
    boxes = pixel_boxes(scene, frame)[birch]
    joints = set(boxes[:, 0].tolist())
    rows = slice(boxes[:, 1].min() + 3, boxes[:, 3].max() - 3)
    columns = range(boxes[:, 0].min() + 6, boxes[:, 2].max() - 6)
    dip = {}
    for x in columns:
        around = np.r_[x - 5 : x - 2, x + 3 : x + 6]
        dip[x] = light[rows, x].mean() / light[rows, around].mean()
    for joint in sorted(joints)[1:]:
        assert min(dip[x] for x in (joint - 1, joint)) < 0.93
    # A slice of a tile away from its joints has none of them.
    away = [x for x in columns if min(abs(x - joint) for joint in joints) > 8]
    assert np.mean([dip[x] < 0.93 for x in away]) < 0.02


@pytest.mark.parametrize(("along", "fine"), [("rows", 1), ("columns", 0)])
def test_grain_runs_along_the_rows_whichever_way_they_hang(along, fine):
    """Fibres and vessels are long: along the grain light changes less from pixel to pixel than across it. (Not so in
    sycamore, whose flecks lie across.)"""
    scene, _, front, piece = seen("ladder", along=along)
    light = luminance_of(front)
    for name in ("walnut-black", "sapele", "padauk", "birch-yellow"):
        here = scene.wood[piece] == scene.woods.index(name)
        changes = []
        for axis in (0, 1):
            same = (piece == np.roll(piece, 1, axis)) & here
            changes.append(np.abs(light - np.roll(light, 1, axis))[same].mean())
        assert changes[fine] < 0.8 * changes[1 - fine], name


def test_end_grain_is_drawn_where_the_method_shows_it_and_nowhere_else(monkeypatch):
    asked = []
    real = compose.strips

    def strips(timber, light, seeds, width, length, mm_per_px, surface="face"):
        asked.append(surface)
        return real(timber, light, seeds, width, length, mm_per_px, surface)

    monkeypatch.setattr(compose, "strips", strips)
    for method, surface in (("runs", "face"), ("tiles", "face"), ("deep", "face"), ("panels", "end")):
        asked.clear()
        preview_pixels(record_of(strewn(6), method=method), WOOD_TONES, width=300)
        assert set(asked) == {surface}


def test_no_piece_shows_the_same_wood_as_another():
    scene, frame, front, _ = seen("ladder", method="tiles")
    shown = {}
    for left, top, _, _ in pixel_boxes(scene, frame).tolist():
        # Within the joints.
        block = front[top + 3 : top + 30, left + 3 : left + 30]
        if block.shape == (27, 27, 3):
            assert shown.setdefault(block.tobytes(), (left, top)) == (left, top)
    assert len(shown) > 80


def test_nothing_is_outside_the_board_but_its_shadow_on_the_paper():
    record = record_of(drawn(DRAWINGS["bell"]))
    scene = scene_of(record)
    frame = frame_of(scene.width, scene.height, WIDTH)
    pixels = preview_pixels(record, WOOD_TONES, width=WIDTH).astype(int)
    outside = np.ones(pixels.shape[:2], dtype=bool)
    outside[frame.top : frame.top + frame.down, frame.left : frame.left + frame.across] = False
    around = pixels[outside]
    assert (around <= np.array(PAPER)).all()
    # Paper in less light is paper's colour all the same: its channels keep their order and their shares of light.
    light = (((around[around[:, 2] > 60] / 255) + 0.055) / 1.055) ** 2.4
    paper = ((np.array(PAPER) / 255 + 0.055) / 1.055) ** 2.4
    assert np.abs(light / paper - (light / paper).mean(axis=1, keepdims=True)).max() < 0.03
    # At the picture's own edge nothing is left of the shadow.
    border = np.concatenate([pixels[0], pixels[-1], pixels[:, 0], pixels[:, -1]])
    assert np.abs(border - np.array(PAPER)).max() <= 3
    # The lamp is above left.
    middle, below = frame.top + frame.down // 2, frame.top + frame.down + 4
    assert pixels[below, WIDTH // 2].sum() < pixels[frame.top - 5, WIDTH // 2].sum()
    assert pixels[middle, frame.left + frame.across + 4].sum() < pixels[middle, frame.left - 5].sum()


def test_another_ground_lies_behind_where_one_is_asked_for():
    pixels = preview_pixels(record_of(strewn(6)), WOOD_TONES, width=300, ground=(255, 255, 255))
    assert pixels[0, 0].tolist() == [255, 255, 255]


def test_the_soft_light_averages_one_over_the_field_and_comes_from_above_left():
    frame = frame_of(400, 300, 1600)
    for edge in (Edge(EASED), Edge(6.0), Edge(3.0, flat=True)):
        along, down = front_light(frame, edge)
        field = slice(round(8 * frame.scale), -round(8 * frame.scale))
        assert (down[field, None] * along[None, field]).mean() == pytest.approx(1, abs=0.002)
        assert along[field][0] > along[field][-1] and down[field][0] > down[field][-1]
        # The upper edge catches the lamp, the lower one turns away from it.
        near = round(edge.size * frame.scale * 0.6)
        assert down[near] > down[field][0] > down[field][-1] > down[-near - 1]


def test_a_rounded_edge_is_seen_further_in_than_an_eased_one():
    asked = {"use": "serving", "side_border": Length.of_mm(40), "end_border": Length.of_mm(40)}
    eased = preview_pixels(record_of(strewn(6), **asked), WOOD_TONES, width=WIDTH)
    rounded = preview_pixels(record_of(strewn(6), **asked, details=("round",)), WOOD_TONES, width=WIDTH)
    scene = scene_of(record_of(strewn(6), **asked))
    frame = frame_of(scene.width, scene.height, WIDTH)
    four = frame.top + frame.down - round(4 * frame.scale)
    row = slice(frame.left + 60, frame.left + frame.across - 60)
    assert luminance_of(rounded[four, row]).mean() < 0.95 * luminance_of(eased[four, row]).mean()
    inner = slice(frame.top + round(8 * frame.scale), frame.top + frame.down - round(8 * frame.scale))
    assert np.array_equal(eased[inner, row], rounded[inner, row])


def test_all_six_woods_stand_in_these_pictures():
    assert {wood for name in DRAWINGS for wood in drawn(DRAWINGS[name]).woods} | {"sycamore"} == set(SIX_WOODS)
