"""Pieces of wood laid into a picture of the board's front, each cut from its place in its strip, glue lines between.

A front is bytes of light to the power 1 / 2.4: finer steps in the dark, and light falling on it later is a plain
factor, for a power of a product is the product of powers (``bands``). Strips are drawn a few at a time, so that a
picture never takes more than three bytes a pixel and a little.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.random import default_rng
from numpy.typing import NDArray

from planner.drawing.preview.finish import Rgb, to_linear
from planner.drawing.preview.frame import Frame, pixel_boxes
from planner.drawing.preview.grain import strips
from planner.drawing.preview.light import GAMMA, glue_depth
from planner.drawing.preview.scene import Scene
from planner.drawing.preview.timbers import timber_of

Surface = Literal["face", "end"]
Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]
Ints = NDArray[np.int64]

# Strips are drawn some at a time: so many pixels together stay near the processor.
AT_ONCE = 150_000
# A strip's own tone is looked up in a small drawing of it with pixels so large, in millimetres.
COARSE, COARSE_ACROSS, COARSE_ALONG = 3.7, 3, 12
# Grain is drawn at so many sizes from one pixel to a pixel twice as large, so that boards of unlike sizes share what
# ``grain`` keeps of each wood at a size; grain itself varies by far more than half such a step.
SIZES = 3
# After so many pixels a glue line's unevenness comes again, elsewhere for every line.
UNEVEN = 4096


def front(scene: Scene, frame: Frame, colours: Mapping[str, Rgb], seed: int) -> Bytes:
    """The board's front in even light, without its edge: bytes of light to the power 1 / 2.4, rows × columns × 3."""
    canvas = np.zeros((frame.down, frame.across, 3), dtype=np.uint8)
    cutting = _cutting(scene, frame, seed)
    glued = _glued_share(frame, cutting.boxes)
    for number, name in enumerate(scene.woods):
        mine = np.flatnonzero(scene.dealt.wood == number)
        if len(mine):
            _lay_wood(canvas, cutting, name, to_linear(colours[name]) / (1 - glued), mine)
    _glue(canvas, frame, cutting.boxes, seed)
    return canvas


@dataclass(frozen=True, slots=True)
class _Cutting:
    """What is cut from what, in pixels. Of n pieces ``boxes`` on the front, ``at`` and ``aside`` where in their strips
    they begin along and across; of m strips ``long`` and ``wide``, their ``seeds`` and the numbers of their ``pieces``.
    """

    scene: Scene
    mm_per_px: float
    boxes: Ints
    at: Ints
    aside: Ints
    long: Ints
    wide: Ints
    seeds: list[int]
    pieces: list[Ints]


def _cutting(scene: Scene, frame: Frame, seed: int) -> _Cutting:
    dealt, boxes = scene.dealt, pixel_boxes(scene, frame)
    count = len(dealt.wood)
    at, aside = (np.rint(mm * frame.scale).astype(np.int64) for mm in (dealt.at, dealt.across))
    size = boxes[:, 2:] - boxes[:, :2]
    long, wide = np.ones((2, count), dtype=np.int64)
    np.maximum.at(long, dealt.strip, size[:, int(scene.upright)] + at)
    np.maximum.at(wide, dealt.strip, size[:, 1 - int(scene.upright)] + aside)
    seeds = default_rng([seed, 20]).integers(0, 2**62, count).tolist()
    order = np.argsort(dealt.strip, kind="stable")
    pieces = np.split(order, np.cumsum(np.bincount(dealt.strip, minlength=count))[:-1])
    mm_per_px = 2 ** (round(-SIZES * math.log2(frame.scale)) / SIZES)
    return _Cutting(scene, mm_per_px, boxes, at, aside, long, wide, seeds, pieces)


def _lay_wood(canvas: Bytes, cutting: _Cutting, name: str, light: NDArray[np.float64], mine: Ints) -> None:
    """Draw the strips of one wood, ``mine``, and lay their pieces."""
    timber = timber_of(name)
    surface: Surface = "end" if cutting.scene.end_grain else "face"
    coarse = strips(
        timber, light, [cutting.seeds[n] for n in mine.tolist()], COARSE_ACROSS, COARSE_ALONG, COARSE, surface
    )
    tones = _tones(cutting.scene, mine, coarse)
    for batch in _batches(mine, cutting.wide, cutting.long):
        seeds = [cutting.seeds[n] for n in batch]
        wide, long = int(cutting.wide[batch].max()), int(cutting.long[batch].max())
        drawn = strips(timber, light, seeds, wide, long, cutting.mm_per_px, surface)
        coded = _coded(drawn, tones[batch] * light.sum() / 3)
        for n, strip in zip(batch, coded, strict=True):
            _cut(canvas, cutting, strip, cutting.pieces[n])


def _batches(mine: Ints, wide: Ints, long: Ints) -> Iterator[list[int]]:
    """Strips to draw together, of about one size."""
    batch: list[int] = []
    for n in mine[np.lexsort((long[mine], wide[mine]))].tolist():
        unlike = batch and (wide[batch[0]] != wide[n] or long[batch[0]] < 0.9 * long[n])
        if unlike or (batch and (len(batch) + 1) * wide[n] * long[n] > AT_ONCE):
            yield batch
            batch = []
        batch.append(n)
    if batch:
        yield batch


def _tones(scene: Scene, mine: Ints, coarse: Floats) -> Floats:
    """How light each strip is beside its wood's mean, by a coarse drawing of ``mine``, so that over the whole board
    they average 1."""
    dealt = scene.dealt
    area = np.zeros(len(dealt.wood))
    np.add.at(area, dealt.strip, np.prod(scene.boxes[:, 2:] - scene.boxes[:, :2], axis=1))
    own = coarse.reshape(len(mine), -1).mean(axis=1)
    tones = np.ones(len(dealt.wood), dtype=np.float32)
    tones[mine] = own / np.average(own, weights=area[mine])
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


def _cut(canvas: Bytes, cutting: _Cutting, strip: Bytes, pieces: Ints) -> None:
    """Every piece of one strip to its place on the front."""
    upright, turned = cutting.scene.upright, cutting.scene.dealt.turned[pieces].tolist()
    places = zip(cutting.at[pieces].tolist(), cutting.aside[pieces].tolist(), turned, strict=True)
    for (left, top, right, bottom), (at, aside, back) in zip(cutting.boxes[pieces].tolist(), places, strict=True):
        long, wide = (bottom - top, right - left) if upright else (right - left, bottom - top)
        piece = strip[aside : aside + wide, at : at + long]
        if back:
            piece = piece[::-1, ::-1]
        canvas[top:bottom, left:right] = piece.transpose(1, 0, 2)[::-1] if upright else piece


def _glued_share(frame: Frame, boxes: Ints) -> float:
    """The share of all light that glue lines swallow, which the wood beside them makes up for."""
    wide, depth = glue_depth(frame.scale)
    lines = (boxes[:, 3] - boxes[:, 1])[boxes[:, 0] > 0].sum() + (boxes[:, 2] - boxes[:, 0])[boxes[:, 1] > 0].sum()
    return float(min(0.05, depth * wide * lines / (frame.across * frame.down)))


def _glue(canvas: Bytes, frame: Frame, boxes: Ints, seed: int) -> None:
    """A fine dark line along the first edges of every piece inside the board: every joint once, never quite even."""
    wide, depth = glue_depth(frame.scale)
    uneven = default_rng([seed, 21]).uniform(0.35, 1.65, UNEVEN).astype(np.float32)
    uneven = np.convolve(np.concatenate([uneven, uneven[:8]]), np.full(9, 1 / 9, dtype=np.float32), "valid")
    # Long enough to begin anywhere in it.
    keep = np.resize((1 - depth * uneven) ** GAMMA, UNEVEN + max(frame.across, frame.down))[:, None]
    above = wide // 2 + 1
    for left, top, right, bottom in boxes.tolist():
        if left > 0:
            some = (top * 7 + left * 13) % UNEVEN
            line = canvas[top:bottom, left - above : left - above + wide]
            line[...] = line * keep[some : some + bottom - top, None]
        if top > 0:
            some = (left + top * 11) % UNEVEN
            line = canvas[top - above : top - above + wide, left:right]
            line[...] = line * keep[some : some + right - left]
