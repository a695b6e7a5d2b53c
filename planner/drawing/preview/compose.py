"""Pieces of wood laid into a picture, band by band: grain, light, glue lines, edge and shadow.

A picture is first laid out as bytes of light to the power 1 / 2.4: finer steps in the dark, and light falling on it
is a plain factor, for a power of a product is the product of powers. Only then, a band of rows at a time, are they made
sRGB (IEC 61966-2-1, whose curve above the toe is 1.055 times that power less 0.055). So a picture never takes more than
three bytes a pixel and a few bands.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.finish import Rgb, to_linear
from planner.drawing.preview.frame import Frame, pixel_boxes
from planner.drawing.preview.grain import strips
from planner.drawing.preview.light import GAMMA, Shadow, corner_cover, edge_of, front_light, glue_depth, shadow_of
from planner.drawing.preview.scene import Scene
from planner.drawing.preview.timber import Timber
from planner.drawing.preview.timbers import timber_of

Surface = Literal["face", "end"]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]
Ints = NDArray[np.int64]

# What lies behind the board: the paper of the pages.
PAPER: Rgb = (247, 242, 232)
# Strips are drawn some at a time: so many pixels together stay near the processor.
AT_ONCE = 150_000
# A strip's own tone is looked up in a small drawing of it with pixels so large, in millimetres.
COARSE, COARSE_ACROSS, COARSE_ALONG = 3.7, 3, 12
# Grain is drawn at so many sizes from one pixel to a pixel twice as large, so that boards of unlike sizes share what
# ``grain`` keeps of each wood at a size; grain itself varies by far more than half such a step.
SIZES = 3
BAND = 48


def front(scene: Scene, frame: Frame, colours: Mapping[str, Rgb], seed: int) -> Bytes:
    """The board's front in even light, without its edge: bytes of light to the power 1 / 2.4, rows × columns × 3."""
    canvas = np.zeros((frame.down, frame.across, 3), dtype=np.uint8)
    boxes = pixel_boxes(scene, frame)
    seeds = np.random.default_rng([seed, 20]).integers(0, 2**62, len(scene.dealt.wood)).tolist()
    of_strip = _pieces_of_strips(scene)
    glued = _glued_share(frame, boxes)
    for number, name in enumerate(scene.woods):
        mine = np.flatnonzero(scene.dealt.wood == number)
        if not len(mine):
            continue
        light = to_linear(colours[name]) / (1 - glued)
        _lay_wood(canvas, scene, frame, boxes, name, light, mine, seeds, of_strip)
    _glue(canvas, frame, boxes, seed)
    return canvas


def _pieces_of_strips(scene: Scene) -> list[Ints]:
    order = np.argsort(scene.dealt.strip, kind="stable")
    return np.split(order, np.cumsum(np.bincount(scene.dealt.strip, minlength=len(scene.dealt.wood)))[:-1])


def _lay_wood(
    canvas: Bytes,
    scene: Scene,
    frame: Frame,
    boxes: Ints,
    name: str,
    light: NDArray[np.float64],
    mine: Ints,
    seeds: list[int],
    of_strip: list[Ints],
) -> None:
    timber = timber_of(name)
    surface: Surface = "end" if scene.end_grain else "face"
    across, along = _pixels(scene, frame, boxes)
    size = 2 ** (round(-SIZES * math.log2(frame.scale)) / SIZES)
    tones = _tones(scene, timber, light, mine, seeds, surface)
    for batch in _batches(mine, across, along):
        wide, long = int(across[batch].max()), int(along[batch].max())
        drawn = strips(timber, light, [seeds[n] for n in batch], wide, long, size, surface)
        coded = _coded(drawn, tones[batch] * light.sum() / 3)
        for n, one in zip(batch, coded, strict=True):
            _cut(canvas, scene, frame, boxes, one, of_strip[n])


def _pixels(scene: Scene, frame: Frame, boxes: Ints) -> tuple[Ints, Ints]:
    """How many pixels each strip is drawn across and along the grain (along a row, where grain stands on end)."""
    dealt = scene.dealt
    size = np.column_stack([boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]])
    if scene.upright:
        size = size[:, ::-1]
    across, along = np.zeros(len(dealt.wood), dtype=np.int64), np.zeros(len(dealt.wood), dtype=np.int64)
    np.maximum.at(across, dealt.strip, size[:, 1] + _moved(dealt.across, frame))
    np.maximum.at(along, dealt.strip, size[:, 0] + _moved(dealt.at, frame))
    return np.maximum(across, 1), np.maximum(along, 1)


def _moved(mm: NDArray[np.float64], frame: Frame) -> Ints:
    return np.rint(mm * frame.scale).astype(np.int64)


def _batches(mine: Ints, across: Ints, along: Ints) -> Iterator[list[int]]:
    """Strips to draw together, of about one size."""
    batch: list[int] = []
    order = mine[np.lexsort((along[mine], across[mine]))]
    for n in order.tolist():
        wide, long = int(across[n]), int(along[n])
        unlike = batch and (across[batch[0]] != wide or along[batch[0]] < 0.9 * long)
        if unlike or (batch and (len(batch) + 1) * wide * long > AT_ONCE):
            yield batch
            batch = []
        batch.append(n)
    if batch:
        yield batch


def _tones(
    scene: Scene, timber: Timber, light: NDArray[np.float64], mine: Ints, seeds: list[int], surface: Surface
) -> Floats:
    """How light each strip is beside its wood's mean, so that over the whole board they average 1."""
    dealt = scene.dealt
    tones = np.ones(len(dealt.wood), dtype=np.float32)
    coarse = strips(timber, light, [seeds[n] for n in mine.tolist()], COARSE_ACROSS, COARSE_ALONG, COARSE, surface)
    own = coarse.reshape(len(mine), -1).mean(axis=1)
    size = np.zeros(len(dealt.wood))
    np.add.at(size, dealt.strip, np.prod(scene.boxes[:, 2:] - scene.boxes[:, :2], axis=1))
    tones[mine] = own / np.average(own, weights=size[mine])
    return tones


# The power 1 / 2.4 of light from 0.002 to 1.1, as a cubic of its fourth root: within 0.2 of a byte's steps.
_CUBIC = tuple(np.float32(255 * c) for c in (-0.01585523, 0.24276126, 0.90197548, -0.12906721))


def _coded(drawn: Floats, mean: Floats) -> Bytes:
    """Strips as bytes, each brought to its ``mean`` over all three channels."""
    flat = drawn.reshape(len(drawn), -1)
    flat *= (mean / flat.mean(axis=1))[:, None]
    np.sqrt(flat, out=flat)
    np.sqrt(flat, out=flat)
    power = flat * _CUBIC[3]
    for factor in (_CUBIC[2], _CUBIC[1]):
        power += factor
        power *= flat
    power += _CUBIC[0] + np.float32(0.5)
    np.clip(power, 0, 255, out=power)
    return power.astype(np.uint8).reshape(drawn.shape)


def _cut(canvas: Bytes, scene: Scene, frame: Frame, boxes: Ints, strip: Bytes, pieces: Ints) -> None:
    """Every piece of one strip to its place on the board."""
    at, across = _moved(scene.dealt.at[pieces], frame), _moved(scene.dealt.across[pieces], frame)
    turned = scene.dealt.turned[pieces].tolist()
    for (left, top, right, bottom), a, b, back in zip(
        boxes[pieces].tolist(), at.tolist(), across.tolist(), turned, strict=True
    ):
        long, wide = (bottom - top, right - left) if scene.upright else (right - left, bottom - top)
        a = min(a, strip.shape[1] - long)
        piece = strip[b : b + wide, a : a + long]
        if back:
            piece = piece[::-1, ::-1]
        canvas[top:bottom, left:right] = piece.transpose(1, 0, 2)[::-1] if scene.upright else piece


def _glued_share(frame: Frame, boxes: Ints) -> float:
    """The share of all light that glue lines swallow, which the wood beside them makes up for."""
    wide, depth = glue_depth(frame.scale)
    lines = (boxes[:, 3] - boxes[:, 1])[boxes[:, 0] > 0].sum() + (boxes[:, 2] - boxes[:, 0])[boxes[:, 1] > 0].sum()
    return float(min(0.05, depth * wide * lines / (frame.across * frame.down)))


def _glue(canvas: Bytes, frame: Frame, boxes: Ints, seed: int) -> None:
    """A fine dark line along the first edges of every piece inside the board: every joint once, never quite even."""
    wide, depth = glue_depth(frame.scale)
    uneven = np.random.default_rng([seed, 21]).uniform(0.35, 1.65, 4096).astype(np.float32)
    uneven = np.convolve(np.concatenate([uneven, uneven[:8]]), np.full(9, 1 / 9, dtype=np.float32), "valid")
    keep = (1 - depth * uneven) ** GAMMA
    for left, top, right, bottom in boxes.tolist():
        if left > 0:
            line = canvas[top:bottom, left - wide // 2 - 1 : left - wide // 2 - 1 + wide]
            line[...] = line * keep[(np.arange(bottom - top) + top * 7 + left * 13) % 4096][:, None, None]
        if top > 0:
            line = canvas[top - wide // 2 - 1 : top - wide // 2 - 1 + wide, left:right]
            line[...] = line * keep[(np.arange(right - left) + left + top * 11) % 4096][None, :, None]


def bands(scene: Scene, frame: Frame, canvas: Bytes, ground: Rgb = PAPER) -> Iterator[Bytes]:
    """The finished picture from the top, some rows at a time: the front in its light, the edge, the shadow behind."""
    edge = edge_of(scene.details)
    along, down = front_light(frame, edge)
    along = np.repeat(np.float32(1.055) * along**GAMMA, 3)
    down = down**GAMMA
    behind = _Behind(shadow_of(frame), to_linear(ground).astype(np.float32))
    cover = corner_cover(frame, edge)
    right, bottom = frame.left + frame.across, frame.top + frame.down
    for top in range(0, frame.height, BAND):
        end = min(top + BAND, frame.height)
        out = np.empty((end - top, frame.width, 3), dtype=np.uint8)
        first, last = max(top, frame.top), min(end, bottom)
        if first > top or last < end:
            out[...] = behind.seen(top, end, 0, frame.width)
        else:
            out[:, : frame.left] = behind.seen(top, end, 0, frame.left)
            out[:, right:] = behind.seen(top, end, right, frame.width)
        if first < last:
            rows = slice(first - frame.top, last - frame.top)
            lit = canvas[rows].reshape(last - first, -1) * along
            lit *= down[rows, None]
            lit -= np.float32(255 * 0.055 - 0.5)
            np.clip(lit, 0, 255, out=lit)
            out[first - top : last - top, frame.left : right] = lit.reshape(last - first, -1, 3)
            _round_corners(out, top, frame, cover, behind)
        yield out


def _round_corners(out: Bytes, top: int, frame: Frame, cover: Floats, behind: _Behind) -> None:
    """Let what is behind show where the board's corners are taken off, in a band that begins at row ``top``."""
    side = len(cover)
    for corner_top, down in ((frame.top, cover), (frame.top + frame.down - side, cover[::-1])):
        first, last = max(top, corner_top), min(top + len(out), corner_top + side)
        if first >= last:
            continue
        share = down[first - corner_top : last - corner_top, :, None]
        for left, part in ((frame.left, share), (frame.left + frame.across - side, share[:, ::-1])):
            here = out[first - top : last - top, left : left + side]
            paper = behind.seen(first, last, left, left + side)
            here[...] = here * part + paper * (1 - part) + np.float32(0.5)


@dataclass(frozen=True, slots=True)
class _Behind:
    """Paper with the board's shadow on it."""

    shadow: Shadow
    paper: Floats

    def seen(self, top: int, bottom: int, left: int, right: int) -> Bytes:
        light = self.shadow.light(top, bottom, left, right)
        coded = (1.055 * 255) * (light[..., None] ** np.float32(GAMMA)) * self.paper ** np.float32(GAMMA)
        return np.clip(coded - np.float32(0.055 * 255 - 0.5), 0, 255).astype(np.uint8)
