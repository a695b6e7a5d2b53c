"""The board in real grain, as a picture: what a customer says yes to.

A record becomes pieces, each with its place in its strip (``scene``, ``dealing``); strips are drawn from the physical
parameters of each wood (``timber``, ``grain``), laid into a picture (``frame``, ``compose``) in soft light (``light``,
``bands``) and written as PNG (``png``). ``finish`` says how a wood looks dry or oiled, ``room`` what an eye across the
room has of it, ``melting`` which woods run together there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.drawing.preview.bands import BAND, PAPER, bands
from planner.drawing.preview.compose import front
from planner.drawing.preview.finish import FINISHES, Finish, Rgb, WoodTone, dry_from_oiled, estimated, shown, to_linear
from planner.drawing.preview.fittings import add_fittings
from planner.drawing.preview.frame import NARROWEST, WIDEST, Frame, fitted, frame_of
from planner.drawing.preview.melting import Melt, melting
from planner.drawing.preview.png import PngWriter
from planner.drawing.preview.room import FARTHEST, NEAREST, as_seen, check_metres, finest_mm, paper_around
from planner.drawing.preview.scene import Scene, scene_of
from planner.errors import PlannerError

__all__ = [
    "FARTHEST",
    "FINISHES",
    "NARROWEST",
    "NEAREST",
    "PAPER",
    "WIDEST",
    "Finish",
    "Melt",
    "Preview",
    "WoodTone",
    "dry_from_oiled",
    "melting",
    "preview",
    "preview_pixels",
]

Bytes = NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class Preview:
    """A PNG of ``width`` by ``height`` pixels. ``estimated`` are the woods (ids) whose colour in it is not a sample's
    but worked out from their oiled one: whoever shows it says so."""

    png: bytes
    width: int
    height: int
    estimated: tuple[str, ...] = ()


def preview(
    record: Mapping[str, Any],
    colours: Mapping[str, WoodTone],
    *,
    width: int,
    finish: Finish = "oiled",
    metres: float | None = None,
    seed: int = 0,
    ground: Rgb = PAPER,
) -> Preview:
    """The board of a kept record as it hangs, ``width`` pixels wide (200 to 6,000; less where it is very tall) on paper
    of colour ``ground``; with ``metres``, as an eye that far away has it. Same arguments, same bytes.

    ``colours`` holds every wood of the record. Raises PlannerError with field "width", "metres", "finish" or "colours".
    """
    scene, frame, pictures = _picture(record, colours, width, finish, metres, seed, ground)
    writer = PngWriter(frame.width, frame.height, upright=scene.upright)
    for rows in pictures:
        writer.write(rows)
    guessed = estimated({wood: colours[wood] for wood in scene.woods}, finish)
    return Preview(writer.finish(), frame.width, frame.height, guessed)


def preview_pixels(
    record: Mapping[str, Any],
    colours: Mapping[str, WoodTone],
    *,
    width: int,
    finish: Finish = "oiled",
    metres: float | None = None,
    seed: int = 0,
    ground: Rgb = PAPER,
) -> Bytes:
    """The pixels of ``preview``, height × width × 3 in sRGB."""
    return np.concatenate(list(_picture(record, colours, width, finish, metres, seed, ground)[2]))


def _picture(
    record: Mapping[str, Any],
    colours: Mapping[str, WoodTone],
    width: int,
    finish: Finish,
    metres: float | None,
    seed: int,
    ground: Rgb,
) -> tuple[Scene, Frame, Iterator[Bytes]]:
    if finish not in FINISHES:
        raise PlannerError(f"There is no finish called “{finish}”.", mend="Choose oiled or dry.", field="finish")
    if metres is not None:
        check_metres(metres)
    # Any whole number will do for a seed.
    seed %= 2**63
    scene = scene_of(record)
    if missing := [wood for wood in scene.woods if wood not in colours]:
        raise PlannerError(f"There is no colour for {missing[0]}.", mend="Add it to the woods.", field="colours")
    frame = frame_of(scene.width, scene.height, width)
    seen = {wood: shown(colours[wood], finish) for wood in scene.woods}
    if metres is None:
        return scene, frame, _drawn(scene, frame, seen, seed, ground)
    return scene, frame, _from_afar(scene, frame, seen, seed, ground, metres)


def _drawn(scene: Scene, frame: Frame, colours: Mapping[str, Rgb], seed: int, ground: Rgb) -> Iterator[Bytes]:
    canvas = front(scene, frame, colours, seed)
    add_fittings(canvas, scene, frame)
    return bands(scene, frame, canvas, ground)


def _from_afar(
    scene: Scene, frame: Frame, colours: Mapping[str, Rgb], seed: int, ground: Rgb, metres: float
) -> Iterator[Bytes]:
    """Drawn no finer than the eye sees at that distance, and brought to the frame's size."""
    mm_per_px = max(1 / frame.scale, finest_mm(metres))
    small = fitted(scene.width, scene.height, max(64, round(frame.width / frame.scale / mm_per_px)))
    pixels = np.concatenate(list(_drawn(scene, small, colours, seed, ground)))
    light = _LIGHT[pixels]
    seen = as_seen(light, 1 / small.scale, metres)
    paper_around(seen, small, metres, to_linear(ground))
    seen = np.clip(seen, 0, 1)
    coded = np.where(seen <= 0.0031308, seen * 12.92, 1.055 * seen ** np.float32(1 / 2.4) - 0.055)
    image = Image.fromarray(np.rint(coded * 255).astype(np.uint8))
    step = small.height / frame.height
    for top in range(0, frame.height, BAND):
        end = min(top + BAND, frame.height)
        box = (0, top * step, small.width, end * step)
        yield np.asarray(image.resize((frame.width, end - top), Image.Resampling.BICUBIC, box))


_LIGHT = np.array([to_linear((byte, byte, byte))[0] for byte in range(256)], dtype=np.float32)
