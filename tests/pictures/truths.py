"""The truth pictures: ``truths("dev")`` to tune on, ``truths("held")`` for reporting only, not seen while tuning.

Every picture's cells are the smallest that draw it: no picture here is also a smaller one enlarged, and one whose
finest strokes are so few that a blurred copy would not show them is ``weak``, used for lossless files only.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.painters import PAINTERS

HERE = Path(__file__).parent
PAINTED_EACH = 7
INKS = ((40, 90, 160), (24, 24, 32), (170, 40, 60), (20, 110, 80), (240, 240, 235), (230, 150, 30), (90, 50, 120))


@dataclass(frozen=True, slots=True)
class Truth:
    """``rgb`` rows × columns × 3 uint8; ``clear`` rows × columns, True where nothing is drawn."""

    name: str
    rgb: NDArray[np.uint8]
    clear: NDArray[np.bool_]
    weak: bool

    @property
    def rows(self) -> int:
        return int(self.clear.shape[0])

    @property
    def columns(self) -> int:
        return int(self.clear.shape[1])


@cache
def truths(part: str) -> tuple[Truth, ...]:
    """All pictures of a part, "dev" or "held", in a fixed order; every third of a family is held back."""
    families = (_icons("icons.txt"), _icons("more-icons.txt"), _faces(), *(_painted(name) for name in PAINTERS))
    return tuple(
        truth for family in families for at, truth in enumerate(family) if (at % 3 == 2) == {"dev": 0, "held": 1}[part]
    )


def _icons(file: str) -> list[Truth]:
    found = []
    for at, block in enumerate((HERE / file).read_text().strip().split("\n\n")):
        name, *lines = block.splitlines()
        inked = np.array([[letter == "#" for letter in line] for line in lines])
        rgb = np.where(inked[..., None], INKS[at % len(INKS)], 0).astype(np.uint8)
        found.append(_truth(f"icon-{name}", rgb, ~inked))
    return found


def _faces() -> list[Truth]:
    sheet = np.asarray(Image.open(HERE / "more-faces.png").convert("RGBA"))
    faces = [np.asarray(Image.open(HERE / f"face-{k}.png").convert("RGBA")) for k in range(1, 7)]
    faces += np.split(sheet, sheet.shape[1] // 16, axis=1)
    return [_truth(f"face-{at + 1}", face[..., :3], face[..., 3] == 0) for at, face in enumerate(faces)]


def _painted(name: str) -> list[Truth]:
    found: list[Truth] = []
    seed = 0
    while len(found) < PAINTED_EACH:
        seed += 1
        rgb, clear = PAINTERS[name](np.random.default_rng([sum(map(ord, name)), seed]))
        truth = _truth(f"{name}-{seed}", rgb, clear)
        if not truth.weak and _colours(truth) >= 2 and not _has_half_a_ground(truth):
            found.append(truth)
    return found


def _colours(truth: Truth) -> int:
    return len(np.unique(truth.rgb[~truth.clear], axis=0)) + int(truth.clear.any())


def _has_half_a_ground(truth: Truth) -> bool:
    """Whether a whole canvas wears near colours along so much of its edge that they may as well be its background."""
    if truth.clear.any():
        return False
    rgb = truth.rgb
    edge = srgb_to_lab(np.concatenate([rgb[0], rgb[-1], rgb[1:-1, 0], rgb[1:-1, -1]]))
    near = (ciede2000(edge[:, None], edge[None]) < 10).mean(axis=1)
    corners = srgb_to_lab(rgb[[0, 0, -1, -1], [0, -1, 0, -1]])
    alike = (ciede2000(corners[:, None], corners[None]) < 10).sum(axis=1).max()
    return bool(near.max() > (0.3 if alike >= 3 else 0.45))


def _truth(name: str, rgb: NDArray[np.uint8], clear: NDArray[np.bool_]) -> Truth:
    rgb = np.where(clear[..., None], 0, rgb).astype(np.uint8)
    return Truth(name, rgb, np.asarray(clear, dtype=np.bool_), _is_weak(rgb, clear))


def _is_weak(rgb: NDArray[np.uint8], clear: NDArray[np.bool_]) -> bool:
    """Whether nearly all edges stand where cells two or three times the size would put them."""
    cells = np.dstack([rgb, clear]).astype(int)
    edges = [(cells[1:] != cells[:-1]).any(axis=2).sum(axis=1), (cells[:, 1:] != cells[:, :-1]).any(axis=2).sum(axis=0)]
    for times in (2, 3):
        elsewhere = [1 - max(side[start::times].sum() for start in range(times)) / max(1, side.sum()) for side in edges]
        if max(elsewhere) < 0.12:
            return True
    return False
