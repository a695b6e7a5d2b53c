"""The lines of a chart in a few words, so that a maker can see what was taken for what."""

from __future__ import annotations

import numpy as np

from planner.picture.charts.frame import Frame
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Sheet

# Ink darker than the first is called dark, lighter than the second light, of 255.
_DARK, _LIGHT = 96.0, 176.0
# Lines wider than this part of a cell are called thick.
_THICK = 0.13
# Lines are heavier when they look so many times as wide as the others, in the median; and so every k-th one when
# three in four of those k apart do and no more than one in ten of the others.
_HEAVIER = 1.3
_SPACINGS = (5, 10)


def lines_in_words(sheet: Sheet, frame: Frame, pitch: float) -> str:
    """As "thin dark lines" or "thick grey lines, heavier every 10"."""
    across = _widths(sheet, frame, upright=True), _widths(sheet, frame, upright=False)
    every = np.concatenate([one[np.isfinite(one)] for one in across])
    if not len(every):
        return "lines"
    colour = sheet.ink.own / max(0.1, 1 - sheet.ink.through)
    level = float(np.clip(colour, 0, 255) @ np.array([0.299, 0.587, 0.114]))
    tone = "dark" if level < _DARK else "light" if level > _LIGHT else "grey"
    words = f"{'thick' if np.median(every) > _THICK * pitch else 'thin'} {tone} lines"
    spacing = _spacing(across)
    return f"{words}, heavier every {spacing}" if spacing else words


def _widths(sheet: Sheet, frame: Frame, upright: bool) -> Floats:
    """The width of each line of the frame, in the median of its pieces; not a number where too few are seen."""
    pieces = sheet.upright if upright else sheet.level
    lines, cells = (frame.left, frame.right), (frame.top, frame.bottom)
    if not upright:
        lines, cells = cells, lines
    cut = np.s_[lines[0] : lines[1] + 1, cells[0] : cells[1]]
    good = pieces.there[cut] & pieces.same[cut]
    # By how dark the line is over just these cells: what is left is how wide it looks, in pixels.
    each = np.where(good, pieces.mass[cut] / np.maximum(pieces.weight[cut], 1.0), np.nan)
    enough = good.sum(axis=1) >= 3
    width = np.full(len(each), np.nan)
    width[enough] = np.nanmedian(each[enough], axis=1)
    return width


def _spacing(across: tuple[Floats, Floats]) -> int:
    for spacing in _SPACINGS:
        if all(_is_heavier_every(width, spacing) for width in across):
            return spacing
    return 0


def _is_heavier_every(width: Floats, spacing: int) -> bool:
    usual = float(np.nanmedian(width)) if np.isfinite(width).any() else 0.0
    # The frame around it is often heavy of itself.
    inner = np.arange(1, len(width) - 1)
    known = np.isfinite(width[inner])
    heavy = np.where(known, width[inner], 0) > _HEAVIER * usual
    for phase in range(spacing):
        due = inner % spacing == phase
        if (due & known).sum() >= 1 and (~due & known).any():
            hit, miss = float(heavy[due & known].mean()), float(heavy[~due & known].mean())
            if hit >= 0.75 and miss <= 0.1:
                return True
    return False
