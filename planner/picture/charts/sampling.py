"""A picture asked for its colours at many places at once, and the projective map that says where they are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.floating[Any]]


@dataclass(frozen=True, slots=True)
class Sampler:
    """Pixels packed into one number each: fetching one number costs a third of fetching three."""

    packed: NDArray[np.uint32]

    @classmethod
    def of(cls, rgb: NDArray[np.uint8]) -> Sampler:
        four = np.empty((*rgb.shape[:2], 4), dtype=np.uint8)
        four[..., :3] = rgb
        four[..., 3] = 0
        return cls(four.view(np.uint32)[..., 0])

    @property
    def width(self) -> int:
        return int(self.packed.shape[1])

    @property
    def height(self) -> int:
        return int(self.packed.shape[0])

    def at(self, x: Floats, y: Floats) -> NDArray[np.uint8]:
        """The colours of the pixels that hold the places (x, y); past the edge, of the nearest pixel."""
        column = np.clip(x.astype(np.int32), 0, self.width - 1)
        row = np.clip(y.astype(np.int32), 0, self.height - 1)
        taken = self.packed.ravel().take(row * np.int32(self.width) + column)
        return taken.view(np.uint8).reshape(*taken.shape, 4)[..., :3]


def places(matrix: Floats, u: Floats, v: Floats) -> tuple[Floats, Floats]:
    """Where a projective map takes the places (u, v), which broadcast against each other."""
    depth = matrix[2, 0] * u + matrix[2, 1] * v + matrix[2, 2]
    return (
        (matrix[0, 0] * u + matrix[0, 1] * v + matrix[0, 2]) / depth,
        (matrix[1, 0] * u + matrix[1, 1] * v + matrix[1, 2]) / depth,
    )
