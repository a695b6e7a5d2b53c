"""A wood's colour dry and oiled, as light.

Where a maker has no dry sample, the dry colour is estimated from the oiled one. Oil fills what is rough: light that
the wood scatters back must leave through the oil's surface, which mirrors a good part of it down again, to be absorbed
with another chance; and a face of wood against oil mirrors less than against air, so that more enters it to be
absorbed. That is the relation of A. Ångström, "The albedo of various surfaces of ground" (1925), as carried on by
J. Lekner and M. C. Dorf, "Why some things are darker when wet", Applied Optics 27 (1988) 1278-1280: the wetted surface
absorbs

    A = (1 - Rl) a / (1 - p (1 - a)),    p = 1 - (1 - R(n)) / n²,    a dry / a = (1 - R(nw)) / (1 - R(nw / n))

with Rl the oil's reflectance, a what the wood absorbs at each meeting, R(n) the reflectance of a face of refractive
index n in light from everywhere (Fresnel's equations, averaged here by sum). The form is given from memory. The indices
are those of linseed oil and of cell walls (both from memory). Wood has pores that oil does not fill to the top and
cell walls that were dark without it: measured woods darken about half as much as a blackboard does (common experience,
no source), so the estimate goes half the way, in the logarithm of light. It is an estimate, and called so.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Rgb = tuple[int, int, int]
Floats = NDArray[np.float64]
Finish = Literal["oiled", "dry"]
FINISHES: tuple[Finish, ...] = ("oiled", "dry")
OIL_INDEX, WALL_INDEX = 1.48, 1.53
SHARE = 0.5


@dataclass(frozen=True, slots=True)
class WoodTone:
    """How a wood looks: ``oiled`` and, where it was sampled, ``dry``, 0 to 255 each in sRGB; its mark and its name."""

    oiled: Rgb
    dry: Rgb | None
    mark: str
    name: str


def shown(tone: WoodTone, finish: Finish) -> Rgb:
    """The colour a wood is shown in: its sample's, or the estimate where it has none dry."""
    if finish == "oiled":
        return tone.oiled
    return tone.dry or dry_from_oiled(tone.oiled)


def estimated(colours: Mapping[str, WoodTone], finish: Finish) -> tuple[str, ...]:
    """Ids of the woods whose colour in that finish is no sample but an estimate."""
    return tuple(wood for wood, tone in colours.items() if finish == "dry" and tone.dry is None)


def dry_from_oiled(oiled: Rgb) -> Rgb:
    """An estimate of the dry colour of a wood whose oiled colour is known.

    >>> dry_from_oiled((84, 58, 43))
    (109, 83, 68)
    """
    light = np.maximum(to_linear(oiled), 1e-4)
    r, g, b = to_srgb(light * (_dry_of(light) / light) ** SHARE)
    return r, g, b


def _dry_of(light: Floats) -> Floats:
    """The whole step of the relation, channel by channel: what is reflected dry where ``light`` is reflected oiled."""
    surface = ((OIL_INDEX - 1) / (OIL_INDEX + 1)) ** 2
    inside = 1 - (1 - _everywhere(OIL_INDEX)) / OIL_INDEX**2
    # What comes back is (1 - Rl) (1 - a) (1 - p) / (1 - p (1 - a)), without the gloss that no sample has; solved for a.
    kept = light / ((1 - surface) * (1 - inside) + inside * light)
    absorbed = 1 - np.clip(kept, 0, 1)
    ratio = (1 - _everywhere(WALL_INDEX)) / (1 - _everywhere(WALL_INDEX / OIL_INDEX))
    return np.asarray(1 - absorbed * ratio, dtype=np.float64)


@cache
def _everywhere(index: float) -> float:
    """The reflectance of a face of that refractive index in light that comes from everywhere (Fresnel's equations)."""
    angle = (np.arange(2000) + 0.5) / 2000 * (np.pi / 2)
    cosine, inner = np.cos(angle), np.sqrt(1 - (np.sin(angle) / index) ** 2)
    across = ((cosine - index * inner) / (cosine + index * inner)) ** 2
    along = ((inner - index * cosine) / (inner + index * cosine)) ** 2
    weight = np.sin(angle) * cosine
    return float(((across + along) / 2 * weight).sum() / weight.sum())


def to_linear(rgb: Rgb) -> Floats:
    """Of sRGB 0 to 255, the light 0 to 1 (IEC 61966-2-1)."""
    encoded = np.asarray(rgb, dtype=np.float64) / 255
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def to_srgb(light: NDArray[np.floating]) -> tuple[int, ...]:
    """Of light 0 to 1, sRGB 0 to 255."""
    held = np.clip(np.asarray(light, dtype=np.float64), 0, 1)
    encoded = np.where(held <= 0.0031308, held * 12.92, 1.055 * held ** (1 / 2.4) - 0.055)
    return tuple(np.rint(encoded * 255).astype(int).tolist())
