"""Two woods that melt together: where they touch, too little is left between them to tell them apart.

Across the room the board is taken as an eye has it (``room``), in flat colours, and compared on both sides of every
seam half a pitch from it; dry it is compared as it lies on the bench. An edge shows from CIEDE2000 8 on, as in the
choice of woods (``matching``), for woods have grain and no two pieces one tone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.finish import Finish, WoodTone, estimated, shown, to_linear
from planner.drawing.preview.room import as_seen, check_metres
from planner.drawing.preview.scene import Scene, scene_of
from planner.matching.scores import EDGE_FROM
from planner.picture.colour import RGB_TO_XYZ, ciede2000, srgb_to_lab, xyz_to_lab

# The longer side of what is looked at, in pixels, and a pitch in pixels where that is enough.
LONGEST, PITCH = 700, 9
# A touch shorter than this many millimetres is a corner.
LEAST_MM = 2.0
ESTIMATE = " A dry colour here is an estimate: photograph a piece before it is oiled."


@dataclass(frozen=True, slots=True)
class Melt:
    """``one`` and ``other`` (wood ids) are ``difference`` apart (CIEDE2000) where they touch, along ``touching`` mm of
    seams, ``where``: "across" the room or "dry" on the bench. ``words`` say it, and what to do."""

    one: str
    other: str
    where: Literal["across", "dry"]
    difference: float
    touching: float
    words: str


def melting(
    record: Mapping[str, Any], colours: Mapping[str, WoodTone], metres: float = 3.0, *, unit: str = "mm"
) -> tuple[Melt, ...]:
    """Every two neighbouring woods of a board that melt together, across the room first, longest touch first. ``unit``
    is what the words are in: "mm" and metres, or "in" and feet.

    Raises PlannerError, field "metres", for a distance nobody looks at a board from.
    """
    check_metres(metres)
    scene = scene_of(record)
    pitch = float(Fraction(record["spec"]["pitch"]))
    labels, mm_per_px = _labels(scene, pitch)
    seams = _seams(labels, max(1, round(pitch / 2 / mm_per_px)))
    if not seams:
        return ()
    oiled = np.array([to_linear(shown(colours[wood], "oiled")) for wood in scene.woods], dtype=np.float32)
    lab = xyz_to_lab(as_seen(oiled[labels], mm_per_px, metres) @ RGB_TO_XYZ.T)
    guessed = set(estimated({wood: colours[wood] for wood in scene.woods}, "dry"))
    far = f"{metres:g} m" if unit == "mm" else f"{metres / 0.3048:.0f} ft"
    across, dry = [], []
    for (a, b), seam in seams.items():
        touching = len(seam.one) * mm_per_px
        if touching < LEAST_MM:
            continue
        one, other = pair = scene.woods[a], scene.woods[b]
        names = f"{colours[one].name} and {colours[other].name}"
        apart = float(ciede2000(seam.mean(lab, seam.one), seam.mean(lab, seam.other)))
        if apart < EDGE_FROM:
            words = f"{names} melt together from {far} away: {_differ(apart, touching, unit)} {_choose(colours, pair)}"
            across.append(Melt(one, other, "across", apart, touching, words))
        apart = _apart(colours, one, other, "dry")
        if apart < EDGE_FROM:
            guess = ESTIMATE if guessed & {*pair} else ""
            words = (
                f"{names} look alike dry: {_differ(apart, touching, unit)}{guess} "
                "Write each piece's mark on it when it is cut, and lay the rows by the marks."
            )
            dry.append(Melt(one, other, "dry", apart, touching, words))
    return tuple(melt for found in (across, dry) for melt in sorted(found, key=lambda melt: -melt.touching))


def _differ(apart: float, touching: float, unit: str) -> str:
    long = f"{touching:,.0f} mm" if unit == "mm" else f"{touching / 25.4:,.0f} in"
    return f"along {long} of seams they differ by CIEDE2000 {apart:.1f}, where an edge shows from {EDGE_FROM:g} on."


def _choose(colours: Mapping[str, WoodTone], pair: tuple[str, str]) -> str:
    """What to do, the lighter wood named first."""
    light, dark = sorted(pair, key=lambda wood: -float(srgb_to_lab(colours[wood].oiled)[0]))
    return (
        f"Choose a lighter wood than {colours[light].name}, or a darker one than {colours[dark].name}, or put a row of "
        "tiles of a third between them."
    )


def _apart(colours: Mapping[str, WoodTone], one: str, other: str, finish: Finish) -> float:
    return float(ciede2000(*(srgb_to_lab(shown(colours[wood], finish)) for wood in (one, other))))


@dataclass(frozen=True, slots=True)
class _Seam:
    """Places (flat numbers) on either side of the seams of two woods, pair by pair."""

    one: NDArray[np.int64]
    other: NDArray[np.int64]

    def mean(self, lab: NDArray[np.float64], places: NDArray[np.int64]) -> NDArray[np.float64]:
        return np.asarray(lab.reshape(-1, 3)[places].mean(axis=0))


def _labels(scene: Scene, pitch: float) -> tuple[NDArray[np.int64], float]:
    """The wood at each pixel of a small picture, and how many millimetres a pixel is."""
    longest = max(scene.width, scene.height)
    mm_per_px = max(longest / LONGEST, min(pitch / PITCH, longest / 64))
    size = np.maximum(np.rint(np.array([scene.width, scene.height]) / mm_per_px).astype(int), 1)
    labels = np.zeros((size[1], size[0]), dtype=np.int64)
    boxes = np.rint(scene.boxes / mm_per_px).astype(int).tolist()
    for (left, top, right, bottom), wood in zip(boxes, scene.wood.tolist(), strict=True):
        labels[top:bottom, left:right] = wood
    return labels, mm_per_px


def _seams(labels: NDArray[np.int64], away: int) -> dict[tuple[int, int], _Seam]:
    """Where different woods touch: for each two, places ``away`` pixels from the seam on both sides, or as far as each
    wood reaches."""
    found: dict[tuple[int, int], list[NDArray[np.int64]]] = {}
    places = np.arange(labels.size).reshape(labels.shape)
    for grid, numbers in ((labels, places), (labels.T, places.T)):
        rows, columns = np.nonzero(grid[:, 1:] != grid[:, :-1])
        before, after = grid[rows, columns], grid[rows, columns + 1]
        first, second = columns.copy(), columns + 1
        for _ in range(away - 1):
            back, on = np.maximum(first - 1, 0), np.minimum(second + 1, grid.shape[1] - 1)
            first = np.where(grid[rows, back] == before, back, first)
            second = np.where(grid[rows, on] == after, on, second)
        low, high = np.minimum(before, after), np.maximum(before, after)
        swapped = before > after
        one = np.where(swapped, numbers[rows, second], numbers[rows, first])
        other = np.where(swapped, numbers[rows, first], numbers[rows, second])
        for pair in np.unique(np.column_stack([low, high]), axis=0).tolist():
            here = (low == pair[0]) & (high == pair[1])
            found.setdefault((pair[0], pair[1]), []).append(np.stack([one[here], other[here]]))
    return {pair: _Seam(*np.concatenate(parts, axis=1)) for pair, parts in found.items()}
