"""What blurs, compresses, lights or turns a picture does not change which cells it has."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from planner.picture import NoGrid, read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.picture.curve import may_be_bent
from planner.picture.exact_cells import Axis
from planner.picture.redraw import BLURS, HARD, SMOOTH, Shape, Side, drawing
from tests.support.picture_files import saved

PAPER = (214, 236, 240)
FACES = [
    np.asarray(Image.open(path).convert("RGBA"))
    for path in sorted((Path(__file__).parents[2] / "pictures").glob("face-*.png"))
]


def on_paper(face: np.ndarray) -> np.ndarray:
    """With a rim of paper, so that paper is what most of the edge wears."""
    flat = np.where(face[..., 3:] == 0, PAPER, face[..., :3]).astype(np.uint8)
    return np.pad(flat, ((1, 1), (1, 1), (0, 0)), constant_values=0) + np.pad(
        np.zeros((16, 16, 3), dtype=np.uint8), ((1, 1), (1, 1), (0, 0)), constant_values=1
    ) * np.array(PAPER, dtype=np.uint8)


def share_right(reading, truth: np.ndarray) -> float:
    if reading.grid.rgb.shape != truth.shape:
        return 0.0
    return float((ciede2000(srgb_to_lab(reading.grid.rgb), srgb_to_lab(truth)) < 5).mean())


@pytest.mark.parametrize(
    ("side", "how", "faces"),
    [
        *((126, how, FACES) for how in ("BILINEAR", "BICUBIC", "LANCZOS")),
        *((261, how, FACES[1:2]) for how in ("BILINEAR", "LANCZOS")),
        (700, "BICUBIC", FACES[:1]),
    ],
)
def test_enlarged_in_one_step_by_a_smooth_filter_the_colours_come_back_unblurred(side, how, faces):
    for face in faces:
        truth = on_paper(face)
        image = Image.fromarray(truth).resize((side, side), getattr(Image.Resampling, how))
        reading = read_picture(saved(image))
        assert share_right(reading, truth) >= 0.99 and not reading.grid.filled[0].any()


@pytest.mark.parametrize(("quality", "faces"), [(35, FACES[:3]), (90, FACES[3:4])], ids=["35", "90"])
def test_a_jpeg_keeps_its_cells(quality, faces):
    for face in faces:
        truth = on_paper(face)
        image = Image.fromarray(truth.repeat(13, axis=0).repeat(13, axis=1))
        assert share_right(read_picture(saved(image, "JPEG", quality=quality)), truth) >= 0.99


def test_noise_and_slanting_light_are_taken_out():
    rng = np.random.default_rng(8)
    for face in FACES[:2]:
        truth = on_paper(face)
        large = truth.repeat(14, axis=0).repeat(14, axis=1).astype(float)
        light = 1 - 0.2 * np.linspace(0, 1, large.shape[1])[None, :, None]
        lit = np.clip(large * light + rng.normal(0, 6, large.shape), 0, 255).astype(np.uint8)
        reading = read_picture(saved(Image.fromarray(lit)))
        assert reading.grid.rgb.shape == truth.shape
        assert reading.sure or may_be_bent(reading.grid.rgb, reading.grid.filled)
        paper = reading.grid.rgb[0].astype(int)
        assert np.abs(paper - paper.mean(axis=0)).max() <= 6


@pytest.mark.parametrize("degrees", [-1.9, -0.5, 0.8, 2.0])
@pytest.mark.parametrize("grow", [False, True])
def test_turned_by_up_to_two_degrees_it_is_turned_back(degrees, grow):
    # One way of cutting the picture takes one face, the other another.
    for face in FACES[int(grow) :][:1]:
        truth = on_paper(face)
        image = Image.fromarray(truth.repeat(14, axis=0).repeat(14, axis=1))
        turned = image.rotate(-degrees, Image.Resampling.BICUBIC, expand=grow, fillcolor=PAPER)
        reading = read_picture(saved(turned))
        assert reading.kind == "turned" and reading.turn == pytest.approx(degrees, abs=0.15)
        rows, columns = (np.flatnonzero(reading.grid.filled.any(axis=k)) for k in (1, 0))
        inked = (truth != PAPER).any(axis=2)
        due = [np.flatnonzero(inked.any(axis=k)) for k in (1, 0)]
        assert (np.ptp(rows), np.ptp(columns)) == (np.ptp(due[0]), np.ptp(due[1]))


def test_a_ground_that_runs_from_one_colour_to_another_is_background():
    for face in FACES[:2]:
        clear = np.pad(face[..., 3] == 0, 1, constant_values=True).repeat(17, axis=0).repeat(17, axis=1)
        drawn = np.pad(face[..., :3], ((1, 1), (1, 1), (0, 0))).repeat(17, axis=0).repeat(17, axis=1)
        y = np.linspace(0, 1, len(clear))[:, None, None]
        sky = np.array([90, 140, 220]) * (1 - y) + np.array([230, 240, 250]) * y
        picture = np.where(clear[..., None], np.broadcast_to(sky, drawn.shape), drawn).astype(np.uint8)
        reading = read_picture(saved(Image.fromarray(picture)))
        assert (reading.grid.rows, reading.grid.columns) == (18, 18)
        assert not reading.grid.filled[0].any() and not reading.sure
        assert reading.grid.filled[1:-1, 1:-1][face[..., 3] == 255].mean() > 0.98


def test_a_picture_without_cells_is_not_given_any():
    rng = np.random.default_rng(3)
    frequency = np.hypot(np.fft.fftfreq(360)[:, None], np.fft.rfftfreq(480)[None])
    frequency[0, 0] = 1
    waves = (rng.normal(size=frequency.shape) + 1j * rng.normal(size=frequency.shape)) / frequency
    waves[0, 0] = 0
    hills = np.fft.irfft2(waves, (360, 480))
    picture = np.clip(128 + 50 * hills / hills.std(), 0, 255).astype(np.uint8)
    with pytest.raises(NoGrid) as refusal:
        read_picture(saved(Image.fromarray(picture), "JPEG", quality=85))
    assert (refusal.value.width_px, refusal.value.height_px) == (480, 360)
    assert "reduced" in refusal.value.mend


@pytest.mark.parametrize("shape", [*HARD, *SMOOTH, *BLURS], ids=str)
def test_every_shape_draws_a_flat_picture_flat(shape: Shape):
    weights = drawing(Axis(-3.0, 7.3, 9), 60, shape)
    assert np.allclose(weights.sum(axis=1), 1)


def test_the_quick_reckonings_of_what_is_left_agree_with_the_plain_one():
    rng = np.random.default_rng(2)
    lines = rng.normal(size=(40, 96)).astype(np.float32)
    side = Side(lines)
    for count in (6, 8, 12):
        axis = Axis(0.0, 96 / count, count)
        edges = np.arange(count + 1) * (96 // count)
        assert side.left_by_boxes(edges) == pytest.approx(side.left_by(axis, HARD[0]), rel=1e-3)
        assert side.left_by_tents(count) == pytest.approx(side.left_by(axis, SMOOTH[0]), rel=0.02)
