"""A wood's own colour from a photo of an oiled piece beside a white or grey card.

The camera's colour of the light and its exposure fall on card and wood alike. What the card should have been is
known, so each channel of linear light is multiplied by what the card lacks, and the same put upon the wood gives the
wood as it would look in plain daylight. Where a camera bends contrast, that bend stays in; a card as light as the
wood makes it small. Wood is no flat colour: the mean is of the light of a disc, which the grain averages out in.

Cards: 18 % of the light for the grey one and 90 % for the white one, as the two sides of a photographer's grey card are
sold, and as a plain white card nearly is (common practice, no source). As CIELAB L* (CIE 15) that is 49.5 and 96.0, as
sRGB (IEC 61966-2-1) 118 and 243 in every channel.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.errors import PlannerError
from planner.picture.colour import Floats, ciede2000, srgb_to_lab
from planner.picture.decode import decode, too_much_memory

Rgb = tuple[int, int, int]
CardKind = Literal["white", "grey"]
REFLECTS = MappingProxyType({"white": 0.90, "grey": 0.18})
LONGEST_SHOWN = 1200
# A disc of so large a share of the shorter side around each tap, and never smaller than so many pixels.
DISC_SHARE, LEAST_RADIUS = 0.03, 4.0
# From here on a channel is as good as full, and what lay beyond is lost; 8 bits.
FULL = 250
# The lightest and darkest of a disc, each so large a share, are left out: gloss, pores, dust.
TRIMMED = 0.1
# Shares of a disc that may be full before it is told, and before nothing can be said any more.
SOME_FULL, MOST_FULL = 0.02, 0.5
# Below so much light the steps of eight bits are coarser than the colour; a tenth of it is no picture.
DARK = 0.04
# How far the light may change between card and wood, going on as it does across the card.
UNEVEN = 0.10
# CIEDE2000 between the quarters of a disc and the whole.
CARD_QUARTERS, WOOD_QUARTERS = 3.0, 7.0
# What is seen of two samples that lie side by side and differ by up to so much, in CIEDE2000. Half of those who look
# see 0.8 under good light, and half mind 1.8 (ISO/TR 28642:2016, of teeth; Paravina et al., 2015); 3.5 is clear to
# anybody (Mokrzycki and Tatol, 2011, who speak of CIELAB differences, which of browns are the larger): all from memory.
# 8 is where this planner calls two woods told apart in a picture (`matching.scores.EDGE_FROM`). The words are our own.
SEEN = (
    (0.8, "not to be seen"),
    (1.8, "hardly to be seen"),
    (3.5, "seen beside each other"),
    (8.0, "plain beside each other"),
)
SEEN_BEYOND = "like another wood"


@dataclass(frozen=True, slots=True)
class SampledColour:
    """``rgb`` the wood's colour, ``card_rgb`` the card as the photo has it, ``wood_rgb`` the wood as the photo has it;
    ``warnings`` in words, most telling first."""

    rgb: Rgb
    card_rgb: Rgb
    wood_rgb: Rgb
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Shift:
    """How far a later sample is from a first one: ``difference`` in CIEDE2000, what is ``seen`` of it, and the
    ``ways`` it went ("lighter", "yellower"), the largest first; none where nothing is to be seen."""

    difference: float
    seen: str
    ways: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Disc:
    """Linear light of the pixels around a tap (n × 3), where they lie from it (n × 2), and how many are full."""

    light: Floats
    place: Floats
    full: float

    def mean(self, where: NDArray[np.bool_] | None = None) -> Floats:
        """The mean of the light without the lightest and the darkest, of all pixels or some."""
        light = self.light if where is None else self.light[where]
        order = np.argsort(light.sum(axis=1), kind="stable")
        cut = int(len(order) * TRIMMED)
        return np.asarray(light[order[cut : len(order) - cut]].mean(axis=0), dtype=np.float64)


def wood_colour(
    data: bytes, card: tuple[float, float], wood: tuple[float, float], card_kind: CardKind = "white"
) -> SampledColour:
    """The colour of the wood at ``wood`` when the thing at ``card`` is a card of ``card_kind``.

    ``data`` a picture file, the places (x, y) in its pixels when upright, from the top left corner. Raises
    PictureError for a file that is no picture, PlannerError when a place lies outside, both are the same, or a patch
    is too bright or too dark to say anything.

    >>> photo = np.full((100, 200, 3), (200, 200, 160), dtype=np.uint8)
    >>> photo[:, 100:] = (120, 80, 50)
    >>> buffer = io.BytesIO()
    >>> Image.fromarray(photo).save(buffer, "PNG")
    >>> wood_colour(buffer.getvalue(), (50, 50), (150, 50)).rgb
    (147, 99, 81)
    """
    if card_kind not in REFLECTS:
        raise PlannerError("The card is neither white nor grey.", mend="Choose one of the two.", field="card")
    pixels = np.asarray(decode(data).image)
    height, width = pixels.shape[:2]
    radius = disc_radius(width, height)
    for name, (x, y) in (("card", card), ("wood", wood)):
        if not (0 <= x <= width and 0 <= y <= height):
            raise PlannerError(f"The place of the {name} lies outside the photo.", mend=f"Tap the {name}.", field=name)
    if math.dist(card, wood) < 2 * radius:
        raise PlannerError("Card and wood are tapped at the same place.", mend="Tap the middle of each.", field="wood")
    on_card, on_wood = _disc(pixels, card, radius, "card"), _disc(pixels, wood, radius, "wood")
    card_light, wood_light = on_card.mean(), on_wood.mean()
    _check_light(on_card, card_light, "card")
    _check_light(on_wood, wood_light, "wood")
    seen = wood_light * REFLECTS[card_kind] / card_light
    warnings = [
        *_card_warnings(on_card, card_light, np.subtract(wood, card)),
        *_wood_warnings(on_wood, seen),
    ]
    return SampledColour(_rgb(seen), _rgb(card_light), _rgb(wood_light), tuple(warnings))


def disc_radius(width: int, height: int) -> float:
    """How far around a tap is looked at, in pixels, in a photo of that size.

    >>> disc_radius(1200, 900)
    27.0
    """
    return max(LEAST_RADIUS, DISC_SHARE * min(width, height))


def shift(first: Rgb, later: Rgb) -> Shift:
    """How far ``later`` is from ``first``, both colours of a sample. Of the ways it went those are named that are at
    least half as large as the largest, lightness, chroma and hue weighted as CIE 116-1995 does.

    >>> found = shift((97, 60, 40), (112, 73, 47))
    >>> round(found.difference, 1), found.seen, found.ways
    (4.9, 'plain beside each other', ('lighter',))
    """
    before, after = srgb_to_lab(first), srgb_to_lab(later)
    difference = float(ciede2000(before, after))
    seen = next((words for most, words in SEEN if difference <= most), SEEN_BEYOND)
    ways = _ways(before, after) if difference > SEEN[0][0] else ()
    return Shift(difference, seen, ways)


def _ways(before: Floats, after: Floats) -> tuple[str, ...]:
    chromas = [math.hypot(float(lab[1]), float(lab[2])) for lab in (before, after)]
    hues = [math.degrees(math.atan2(float(lab[2]), float(lab[1]))) for lab in (before, after)]
    middle = math.sqrt(chromas[0] * chromas[1])
    parts = {
        ("lighter", "darker"): float(after[0] - before[0]),
        ("stronger in colour", "paler in colour"): (chromas[1] - chromas[0]) / (1 + 0.045 * middle),
    }
    # Between red and yellow only, where woods are, is more of the one less of the other.
    if all(0 <= hue <= 100 for hue in hues):
        turned = 2 * middle * math.sin(math.radians(hues[1] - hues[0]) / 2)
        parts["yellower", "redder"] = turned / (1 + 0.015 * middle)
    least = max(abs(part) for part in parts.values()) / 2
    found = sorted(parts.items(), key=lambda named: -abs(named[1]))
    return tuple(words[part < 0] for words, part in found if abs(part) >= least and part)


def shown_copy(data: bytes, longest: int = LONGEST_SHOWN) -> bytes:
    """A photo as a fresh PNG of at most ``longest`` pixels a side: upright, no metadata, nothing of the file as it
    came. Pixels are brought together as light, so that a disc of it has the mean of the same disc before. Raises
    PictureError as ``decode`` does.
    """
    try:
        pixels = np.asarray(decode(data).image)
        height, width = pixels.shape[:2]
        step = math.ceil(max(width, height) / longest)
        rows, columns = max(1, height // step), max(1, width // step)
        if step > 1 and min(width, height) >= step:
            small = np.empty((rows, columns, 3), dtype=np.uint8)
            for channel in range(3):
                light = _LINEAR32[pixels[: rows * step, : columns * step, channel]]
                small[..., channel] = _encoded(light.reshape(rows, step, columns, step).mean(axis=(1, 3)))
            clear = pixels[: rows * step : step, : columns * step : step, 3]
        else:
            # Small enough, or a sliver that no square of pixels fits into.
            small, clear = pixels[::step, ::step, :3].copy(), pixels[::step, ::step, 3]
        # What is transparent was never photographed.
        small[clear < 128] = 255
        buffer = io.BytesIO()
        Image.fromarray(small).save(buffer, "PNG")
    except MemoryError as error:
        raise too_much_memory() from error
    return buffer.getvalue()


def _to_linear(encoded: Floats) -> Floats:
    """Of 0 to 1 in sRGB, the light (IEC 61966-2-1)."""
    return np.asarray(
        np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4), dtype=np.float64
    )


_LINEAR = _to_linear(np.arange(256) / 255)
_LINEAR32 = _LINEAR.astype(np.float32)


def _encoded(light: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Light of 0 to 1 as sRGB of 0 to 255."""
    held = np.clip(np.asarray(light, dtype=np.float64), 0.0, 1.0)
    encoded = np.where(held <= 0.0031308, held * 12.92, 1.055 * held ** (1 / 2.4) - 0.055)
    return np.asarray(np.rint(encoded * 255), dtype=np.uint8)


def _rgb(light: Floats) -> Rgb:
    r, g, b = _encoded(light).tolist()
    return r, g, b


def _disc(pixels: NDArray[np.uint8], at: tuple[float, float], radius: float, name: str) -> _Disc:
    height, width = pixels.shape[:2]
    left, right = max(0, math.floor(at[0] - radius)), min(width, math.ceil(at[0] + radius))
    top, bottom = max(0, math.floor(at[1] - radius)), min(height, math.ceil(at[1] + radius))
    y, x = np.mgrid[top:bottom, left:right] + 0.5
    inside = (np.hypot(x - at[0], y - at[1]) <= radius) & (pixels[top:bottom, left:right, 3] >= 128)
    if not inside.any():
        raise PlannerError(f"There is nothing in the photo at the place of the {name}.", mend="Tap another place.")
    found = pixels[top:bottom, left:right, :3][inside]
    place = np.column_stack([x[inside] - at[0], y[inside] - at[1]])
    return _Disc(_LINEAR[found], place, float((found >= FULL).any(axis=1).mean()))


def _check_light(disc: _Disc, mean: Floats, name: str) -> None:
    if disc.full > MOST_FULL:
        raise PlannerError(
            f"The {name} is overexposed: its brightest light is cut off, and with it its colour.",
            mend="Take the photo anew, a little darker.",
            field=name,
        )
    if mean.max() < DARK / 10:
        raise PlannerError(f"The {name} is black in the photo.", mend="Take it anew in more light.", field=name)
    if name == "card" and mean.min() * 20 < mean.max():
        raise PlannerError(
            "What was tapped as the card is of a strong colour.", mend="Tap the white or grey card.", field=name
        )


def _card_warnings(disc: _Disc, mean: Floats, way_to_wood: NDArray[np.floating]) -> list[str]:
    found = []
    if disc.full > SOME_FULL:
        found.append("Part of the card is overexposed, so the colour may be off: take the photo a little darker.")
    if mean.max() < DARK:
        found.append("The card is dark in the photo, so its colour is coarse: take the photo in more light.")
    if _quarters(disc, mean, mean) > CARD_QUARTERS:
        found.append("What was tapped as the card is not of one colour: tap its middle, away from edge and print.")
    elif _change(disc, way_to_wood) > UNEVEN:
        found.append("The light is uneven across the card: lay card and wood side by side, away from lamp and window.")
    return found


def _wood_warnings(disc: _Disc, seen: Floats) -> list[str]:
    found = []
    if disc.full > SOME_FULL:
        found.append("There is gloss on the wood: turn it so that no lamp or window is mirrored in it.")
    if seen.max() > 1.0:
        found.append("The wood is lighter than the card can be: the card lies in the shade, or is the other card.")
    if _quarters(disc, disc.mean(), seen) > WOOD_QUARTERS:
        found.append("What was tapped as the wood is not of one piece: tap its middle, away from edge, knot and joint.")
    if disc.mean().max() < DARK / 4:
        found.append("The wood is nearly black in the photo, so its colour is coarse: take the photo in more light.")
    return found


def _quarters(disc: _Disc, mean: Floats, stands_for: Floats) -> float:
    """How far the quarters of a disc, each as its own mean, are from the whole, in CIEDE2000; the mean of the disc
    taken for ``stands_for``."""
    right, below = disc.place[:, 0] > 0, disc.place[:, 1] > 0
    whole = srgb_to_lab(_rgb(stands_for))
    found = 0.0
    for quarter in (right & below, right & ~below, ~right & below, ~right & ~below):
        if int(quarter.sum()) >= 4:
            part = disc.mean(quarter) * stands_for / np.maximum(mean, 1e-6)
            found = max(found, float(ciede2000(srgb_to_lab(_rgb(part)), whole)))
    return found


def _change(disc: _Disc, way: NDArray[np.floating]) -> float:
    """By how large a share the light would change over ``way`` if it went on as it does across the disc."""
    light = disc.light.sum(axis=1)
    slope = np.linalg.lstsq(np.column_stack([disc.place, np.ones(len(light))]), light, rcond=None)[0]
    return abs(float(slope[:2] @ way)) / max(float(slope[2]), 1e-9)
