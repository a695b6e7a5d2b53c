"""The rates of reading are worth what their measure is worth: files that hold what they are said to hold, and a judge
that passes the truth and nothing else."""

from __future__ import annotations

import dataclasses
import io
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image

from planner.picture import Lattice
from tests.pictures.degrade import KINDS, LIT, case, cases
from tests.pictures.judge import judge, wrong_cells
from tests.pictures.truths import truths
from tests.pictures.warping import homography, mapped, upright

# Here colours are mixed beyond what looking at the middle of a cell tells.
MIXED = ("blurred", "gradient", "jpeg", "chart-jpeg", "lit")


def looked_up(case) -> np.ndarray:
    """The median colour of each cell's inner part, at the place where the case says it is."""
    pixels = np.asarray(Image.open(io.BytesIO(case.data)).convert("RGB"))
    steps = np.linspace(0.3, 0.7, 5)
    row, column, down, across = np.meshgrid(np.arange(case.rows), np.arange(case.columns), steps, steps, indexing="ij")
    places = mapped(
        homography(upright(0, 0, case.columns, case.rows), case.corners), np.stack([column + across, row + down], -1)
    )
    x, y = np.floor(places[..., 0]).astype(int), np.floor(places[..., 1]).astype(int)
    seen = pixels[y.clip(0, pixels.shape[0] - 1), x.clip(0, pixels.shape[1] - 1)]
    return np.median(seen.reshape(case.rows, case.columns, -1, 3), axis=2).round().astype(np.uint8)


def read_as(case, rgb, filled, corners=None):
    lattice = Lattice(corners or case.corners, *filled.shape)
    return SimpleNamespace(grid=SimpleNamespace(rgb=rgb, filled=filled), lattice=lattice, others=(), sure=True)


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_seed_makes_the_same_file(kind):
    one, other = (list(cases(kind, "dev", 2, seed=9)) for _ in range(2))
    assert [case.data for case in one] == [case.data for case in other]
    assert one[0].data != one[1].data


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in MIXED])
def test_the_cells_lie_where_the_file_is_said_to_hold_them(kind):
    wrong = [
        wrong_cells(case.rgb, case.filled, looked_up(case), case.filled, lit=kind in LIT).mean()
        for case in cases(kind, "dev", 6, seed=4)
    ]
    assert np.median(wrong) == 0 and max(wrong) < 0.05


@pytest.mark.parametrize("kind", KINDS)
def test_the_truth_passes_and_a_grid_moved_by_a_column_does_not(kind):
    made = case(kind, next(t for t in truths("dev") if t.name == "creature-1"), 3)
    verdict = judge(made, read_as(made, made.rgb, made.filled))
    assert verdict.exact and verdict.untrimmed and verdict.trimmed and verdict.offered and verdict.why == ""
    moved = np.roll(made.rgb, 1, axis=1), np.roll(made.filled, 1, axis=1)
    assert not judge(made, read_as(made, *moved)).untrimmed


def test_background_filled_in_is_wrong_and_so_is_a_drawing_set_aside():
    made = case("integer", next(t for t in truths("dev") if t.name == "creature-1"), 3)
    assert not judge(made, read_as(made, made.rgb, np.ones_like(made.filled))).exact
    assert not judge(made, read_as(made, made.rgb, made.filled & (np.indices(made.filled.shape)[0] > 6))).exact


def test_colours_off_by_a_little_pass_and_colours_off_by_much_do_not():
    made = case("integer", next(t for t in truths("dev") if t.name == "creature-1"), 3)
    for step, passes in ((3, True), (40, False)):
        off = np.clip(made.rgb.astype(int) + step, 0, 255).astype(np.uint8)
        assert judge(made, read_as(made, off, made.filled)).exact is passes


def test_where_the_light_is_not_known_only_the_relation_of_the_colours_counts():
    made = case("lit", next(t for t in truths("dev") if t.name == "face-4"), 3)
    dimmed = np.rint(made.rgb * 0.7 + 12).astype(np.uint8)
    assert judge(made, read_as(made, dimmed, made.filled)).exact
    assert not judge(dataclasses.replace(made, kind="jpeg"), read_as(made, dimmed, made.filled)).exact


def test_the_right_grid_at_the_wrong_place_is_not_offered():
    made = case("chart", next(t for t in truths("dev") if t.name == "creature-1"), 3)
    astray = tuple((x + 25.0, y) for x, y in made.corners)
    nothing = np.zeros_like(made.rgb)
    assert judge(made, read_as(made, nothing, made.filled)).offered
    assert not judge(made, read_as(made, nothing, made.filled, astray)).offered


def test_no_picture_is_both_tuned_on_and_held_back():
    tuned, held = ({truth.rgb.tobytes() + truth.clear.tobytes() for truth in truths(part)} for part in ("dev", "held"))
    assert len(tuned) == len(truths("dev")) and len(held) == len(truths("held")) and not tuned & held
