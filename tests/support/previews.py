"""Boards to be drawn in real grain: six small pictures of our own in six woods, and any pattern as a kept record."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

import numpy as np

from planner.build import BoardSpec
from planner.drawing.preview import WoodTone
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.pattern import Pattern
from planner.picture.colour import RGB_TO_XYZ, xyz_to_lab
from planner.pricing import Rates, Terms
from planner.reckoning import WoodOffer, reckon
from planner.record import to_record
from planner.shop import Shop, StockSize
from planner.woods import WOODS

mm = Length.of_mm
BORDER = "sycamore"
INKS = {
    ".": None,
    "k": "walnut-black",
    "w": "birch-yellow",
    "s": "sapele",
    "o": "padauk",
    "b": "beech",
}
SIX_WOODS = (BORDER, *(wood for wood in INKS.values() if wood))

BOAT = """
......k.......
......kww.....
......kwww....
......kwwww...
......kwwwww..
......kwwww...
......k.......
.sssssssssssk.
.kssssssssskk.
..kbbbbbbbkk..
ooooooooooooo.
"""
TEASEL = """
....w...w....
.....www.....
....ssbss....
....sbsbs....
....bsbsb....
....sbsbs....
.....ssb.....
..k...k...k..
...k..k..k...
....kkokk....
......k......
......k......
"""
BELL = """
.....kk.....
....k..k....
.....kk.....
....oooo....
...osssso...
...ossbso...
...ossbso...
..osssbsso..
..osssbsso..
.oowwwwwwoo.
.....kk.....
.....kk.....
"""
OTTER = """
..k...k.......
..kkkkk.......
..kwkwk.......
..kkokk.......
...bbb........
..kkkkkkk.....
.kkwwwkkkkk...
.kkwwwkkkkkkk.
..ksbskkskkkkk
..s...s..s..kk
"""
LADDER = """
s.........s
sbbbbbbbbbs
s.........s
swwwwwwwwws
s....o....s
skkkkkkkkks
s...........
"""
FISH = """
....oooo....k
..oosssooo.kk
.osbwbwbsokk.
osbwkwbwbsok.
.osbwbwbsokk.
..oosssooo.kk
....oooo....k
"""
DRAWINGS = {"boat": BOAT, "teasel": TEASEL, "bell": BELL, "otter": OTTER, "ladder": LADDER, "fish": FISH}


def drawn(drawing: str) -> Pattern:
    """A picture of letters, a cell of background all around it."""
    rows = drawing.split()
    width = max(map(len, rows))
    return Pattern.of([[INKS[c] for c in row.ljust(width, ".")] for row in rows]).padded(1, 1, 1, 1)


@cache
def strewn(side: int, seed: int = 1) -> Pattern:
    """A square of woods at random, background around it."""
    dice = random.Random(seed)
    rows = [[dice.choice([*INKS.values()]) for _ in range(side - 2)] for _ in range(side - 2)]
    return Pattern.of(rows).padded(1, 1, 1, 1)


# The borders an upright board has at its other sides are exchanged by ``turned``: these are as the board hangs.
SPEC = BoardSpec("wall", mm(20), mm(20), mm(40), mm(30), "runs", 1, BORDER)


def record_of(pattern: Pattern, along: str = "rows", **changes: Any) -> dict[str, Any]:
    """The record of a board of that picture, its borders as it hangs."""
    spec = replace(SPEC, **changes)
    if along == "columns":
        spec = spec.turned()
    offers = {
        name: WoodOffer(
            name, WOODS[name].name, WOODS[name].finished_rgb, "ring", Decimal(12), "bf", StockSize(mm(40), mm(150))
        )
        for name in {*pattern.woods, spec.border_wood}
    }
    shop = Shop(longest_rip=mm(8000))
    return to_record(reckon(pattern, spec, shop, offers, DEFAULT_TIMES, Rates(), Terms()))


def tones(*ids: str) -> dict[str, WoodTone]:
    """How those woods look, or all six: stand-ins oiled, nothing dry."""
    return {name: WoodTone(WOODS[name].finished_rgb, None, "ring", WOODS[name].name) for name in ids or SIX_WOODS}


def mean_lab(pixels: np.ndarray) -> np.ndarray:
    """CIELAB of the mean light of sRGB pixels (n × 3)."""
    encoded = pixels.reshape(-1, 3) / 255
    light = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return xyz_to_lab(light.mean(axis=0) @ RGB_TO_XYZ.T)


def luminance_of(pixels: np.ndarray) -> np.ndarray:
    """Relative luminance of sRGB pixels."""
    encoded = pixels / 255
    light = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    return light @ np.array([0.2126, 0.7152, 0.0722])


def cells_of(record: Mapping[str, Any]) -> Sequence[Sequence[str]]:
    """The woods of the picture as it hangs, cell by cell, background in the border's wood."""
    pattern = Pattern.from_text(record["pattern"])
    return [[pattern.cell(r, c) or BORDER for c in range(pattern.width)] for r in range(pattern.height)]
